#include "results/groups.hpp"

#include "language/bases/layer.hpp"

namespace budwood::results {

namespace {

const language::Protocol& protocol_in(const plan::Plan& plan, std::uint32_t batch) {
  return plan.protocol_of(plan.batches[batch]);
}

std::vector<std::string> lots_of(const plan::Plan& plan, const plan::BatchPlan& batch) {
  std::vector<std::string> lots;
  for (const plan::Origin& one : plan::origins_of(plan, batch)) {
    lots.push_back(one.supply + ": " + one.text);
  }
  if (lots.empty()) lots.emplace_back(not_told);
  return lots;
}

std::string or_not_told(const std::string& text) {
  return text.empty() ? not_told : text;
}

}  // namespace

std::string method_of(const plan::Plan& plan, std::uint32_t batch) {
  return language::method_of(protocol_in(plan, batch).name);
}

std::vector<std::string> groups_of(const plan::Plan& plan, const Belongs& what, By by) {
  const book::Batch& batch = plan.facts_of(plan.batches[what.batch]);
  const language::Protocol& protocol = protocol_in(plan, what.batch);
  switch (by) {
    case By::batch:
      return {batch.id.value};
    case By::protocol:
      return {language::method_of(protocol.name)};
    case By::edition:
      return {language::method_of(protocol.name) + " edition " + std::to_string(protocol.edition)};
    case By::variant: {
      const std::string variant = language::variant_of(protocol.name);
      return {variant.empty() ? as_written : variant};
    }
    case By::arm:
      return {batch.trial ? batch.trial->arm : no_trial};
    case By::tray:
      return {batch.id.value + (what.tray.empty() ? "" : ", tray " + what.tray)};
    case By::person:
      return {or_not_told(what.person)};
    case By::lot:
      return lots_of(plan, plan.batches[what.batch]);
    case By::room:
      return {or_not_told(protocol.stages[what.stage].room)};
    case By::week:
      return {calendar::iso_week_text(what.began)};
    case By::site:
      return {plan.book->site.name.value};
  }
  return {};
}

}  // namespace budwood::results
