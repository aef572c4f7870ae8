/// A batch whose values are known, worked out into orders and what there is to say of it. Private
/// to this module.
#pragma once

#include <cstdint>
#include <map>
#include <vector>

#include "plan/expanded.hpp"
#include "plan/plan.hpp"
#include "plan/settings/tell_settings.hpp"
#include "plan/today/sights.hpp"

namespace budwood::plan {

/// What was found out with one batch and is the same for others.
struct ExpanderKept {
  SettingTeller settings;
  std::map<const sheet::Template*, std::vector<std::size_t>> never_met;
};

/// Works batches out one after the other; each thread has its own.
class BatchExpander {
 public:
  explicit BatchExpander(const Plan& plan) : plan_(plan) {}

  /// Says of the batch, which has this place in the plan, whether it is over and has dates. Looks
  /// at no other batch.
  void expand(BatchPlan& batch, std::uint32_t number, const SeenInBatch& seen, Expanded& out);

 private:
  const Plan& plan_;
  ExpanderKept kept_;
};

}  // namespace budwood::plan
