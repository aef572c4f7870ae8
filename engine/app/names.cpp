#include "app/names.hpp"

#include "app/console.hpp"
#include "sheet/template/cell_names.hpp"

namespace budwood::app {

const plan::BatchPlan* find_batch(const plan::Plan& plan, const std::string& id) {
  std::vector<std::string> ids;
  for (const plan::BatchPlan& one : plan.batches) {
    ids.push_back(plan.facts_of(one).id.value);
    if (ids.back() == id) return &one;
  }
  const std::string advice = text::did_you_mean(id, ids);
  complain("There is no batch `" + id + "` with a plan." + (advice.empty() ? "" : " " + advice));
  return nullptr;
}

void complain_of_cell(const sheet::Template& t, const std::string& name) {
  const std::string advice = sheet::cell_advice(t, name);
  complain("`" + t.protocol.name + "` has no value `" + name + "`. " +
           (advice.empty() ? "Values are such as `batch.ready`, `STAGE.start`, `STAGE.plants`."
                           : advice));
}

}  // namespace budwood::app
