#include "app/plan_picture.hpp"

#include <algorithm>

namespace budwood::app {

std::string PlanPicture::misuse() const {
  if (settings && !filter.batch) {
    return "A picture of settings shows one batch: choose it with --batch ID.";
  }
  if (!settings && filter.batch && filter.narrows_orders()) {
    return "A picture of one batch shows all of it: leave --room, --crew, --from and --to out.";
  }
  return "";
}

bool PlanPicture::draw(std::ostream& out, const plan::Plan& plan) const {
  if (settings) return pictures::write_settings(out, plan, filter);
  const auto batch =
      std::find_if(plan.batches.begin(), plan.batches.end(), [&](const plan::BatchPlan& one) {
        return filter.batch && plan.facts_of(one).id.value == *filter.batch;
      });
  if (batch == plan.batches.end())
    return pictures::write_season(out, plan, filter, plan.book->today);
  return pictures::write_batch_plan(
      out, plan, static_cast<std::size_t>(batch - plan.batches.begin()), plan.book->today);
}

}  // namespace budwood::app
