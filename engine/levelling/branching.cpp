#include "levelling/branching.hpp"

namespace budwood::levelling {

Branching::Branching(const Model& model, std::uint64_t seed)
    : dates_(model.date_count), random_(seed) {
  Cost late = 0, early = 0;
  for (const auto& terms : model.problem->objectives) {
    for (const Term& term : terms) {
      late += term.late;
      early += term.early;
    }
    if (late != early) break;
  }
  late_ = early > late;
}

void Branching::remember(const Bounds& bounds) {
  guide_.resize(bounds.variable_count());
  for (VariableId x = 0; x < guide_.size(); ++x) guide_[x] = bounds.least(x);
}

Fact Branching::towards_guide(Fact split) const {
  const VariableId x = split.side / 2;
  if (!guide_.empty()) return guide_[x] >= split.value ? split : opposite(split);
  return late_ && x < dates_ ? split : opposite(split);
}

std::optional<Fact> Branching::by_time(const Bounds& bounds) const {
  std::optional<VariableId> best;
  Value near = 0, far = 0;
  for (VariableId x = 0; x < dates_; ++x) {
    if (bounds.fixed(x)) continue;
    const Value own_near = bounds.low(late_ ? upper_side(x) : lower_side(x));
    const Value own_far = -bounds.low(late_ ? lower_side(x) : upper_side(x));
    if (best && (own_near > near || (own_near == near && own_far >= far))) continue;
    best = x;
    near = own_near;
    far = own_far;
  }
  if (!best) return {};
  return late_ ? at_least(*best, bounds.most(*best)) : at_most(*best, bounds.least(*best));
}

std::optional<Fact> Branching::next(Kernel& kernel) {
  if (way_ == Way::by_activity) {
    if (const auto split = kernel.activity().take(kernel.bounds())) return towards_guide(*split);
  }
  return by_time(kernel.bounds());
}

}  // namespace budwood::levelling
