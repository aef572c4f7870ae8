#include "plan/today/conditional_work.hpp"

#include <algorithm>

namespace budwood::plan {

bool has_conditional_work(const language::Protocol& protocol) {
  return std::any_of(protocol.stages.begin(), protocol.stages.end(), [](const auto& stage) {
    return std::any_of(stage.contingencies.begin(), stage.contingencies.end(),
                       [](const auto& one) { return !one.actions.empty(); });
  });
}

language::Protocol with_conditional_work(language::Protocol protocol) {
  for (language::Stage& stage : protocol.stages) {
    for (const language::Contingency& contingency : stage.contingencies) {
      for (const language::Contingency::Action& action : contingency.actions) {
        language::Work work = action.work;
        work.timing.kind = language::Timing::Kind::days;
        work.timing.days.clear();
        work.timing.must = false;
        work.place = static_cast<std::uint16_t>(stage.works.size());
        stage.works.push_back(std::move(work));
      }
    }
  }
  return protocol;
}

language::WorkId conditional_work(const language::Stage& stage, std::size_t contingency,
                                  std::size_t action) {
  std::size_t behind = 0;
  for (std::size_t i = contingency; i < stage.contingencies.size(); ++i) {
    behind += stage.contingencies[i].actions.size();
  }
  return language::WorkId(stage.works.size() - behind + action);
}

}  // namespace budwood::plan
