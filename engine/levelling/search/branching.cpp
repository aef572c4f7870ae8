#include "levelling/search/branching.hpp"

#include <algorithm>
#include <map>

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
  group_dates(model);
  for (const Lagged& lag : model.lags) {
    const bool forth = lag.guard && lag.guard->side == lower_side(lag.guard->side / 2);
    if (forth) orders_.push_back({lag.guard->side / 2, lag.earlier, lag.later});
  }
}

/// Fills `groups_` when there is more than one.
void Branching::group_dates(const Model& model) {
  const Problem& problem = *model.problem;
  std::map<GroupId, std::uint32_t> numbers;
  const auto add = [&](VariableId x, PointId point) {
    const auto next = static_cast<std::uint32_t>(numbers.size());
    const std::uint32_t group = numbers.emplace(problem.points[point].group, next).first->second;
    groups_.resize(numbers.size());
    groups_[group].push_back(x);
    group_of_[x] = group;
  };
  group_of_.resize(dates_);
  for (VariableId x = 0; x < dates_; ++x) all_.push_back(x);
  for (PointId p = 0; p < problem.points.size(); ++p) add(p, p);
  for (std::size_t u = 0; u < problem.uses.size(); ++u) {
    if (model.begins[u]) add(*model.begins[u], problem.uses[u].from.point);
  }
  if (groups_.size() == 1) groups_.clear();
}

void Branching::set_way(Way way) {
  way_ = way;
  if (way == Way::near_memory) hold_orders();
}

/// Chooses a stretch of a tenth to a half of all days, anywhere.
void Branching::hold_orders() {
  const auto dates = guide_.begin() + static_cast<std::ptrdiff_t>(dates_);
  const Value first = *std::min_element(guide_.begin(), dates);
  const Value last = *std::max_element(guide_.begin(), dates);
  const auto days = static_cast<std::uint64_t>(last - first + 1);
  const auto width = static_cast<Value>(days * (10 + random_() % 40) / 100 + 1);
  const Value begin = first - width / 2 + static_cast<Value>(random_() % days);
  const auto touches = [&](VariableId x) {
    return guide_[x] >= begin && guide_[x] < begin + width;
  };
  held_.clear();
  for (const Order& order : orders_) {
    if (!touches(order.one) && !touches(order.other)) held_.push_back(order.variable);
  }
  next_held_ = 0;
}

std::optional<Fact> Branching::next_held(const Bounds& bounds) {
  if (bounds.level() < held_level_) next_held_ = 0;
  held_level_ = bounds.level();
  for (; next_held_ < held_.size(); ++next_held_) {
    const VariableId x = held_[next_held_];
    if (!bounds.fixed(x)) return guide_[x] == 1 ? at_least(x, 1) : at_most(x, 0);
  }
  return {};
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

/// The date that comes first, or last where things are wanted late.
std::optional<VariableId> Branching::nearest(const Bounds& bounds,
                                             const std::vector<VariableId>& dates) const {
  std::optional<VariableId> best;
  Value near = 0, far = 0;
  for (const VariableId x : dates) {
    if (bounds.fixed(x)) continue;
    const Value own_near = bounds.low(late_ ? upper_side(x) : lower_side(x));
    const Value own_far = -bounds.low(late_ ? lower_side(x) : upper_side(x));
    if (best && (own_near > near || (own_near == near && own_far >= far))) continue;
    best = x;
    near = own_near;
    far = own_far;
  }
  return best;
}

std::optional<Fact> Branching::by_time(const Bounds& bounds) {
  auto best = groups_.empty() ? std::nullopt : nearest(bounds, groups_[group_]);
  if (!best) best = nearest(bounds, all_);
  if (!best) return {};
  if (!groups_.empty()) group_ = group_of_[*best];
  return late_ ? at_least(*best, bounds.most(*best)) : at_most(*best, bounds.least(*best));
}

std::optional<Fact> Branching::next(Kernel& kernel) {
  if (way_ == Way::near_memory) {
    if (const auto held = next_held(kernel.bounds())) return held;
  }
  if (way_ != Way::by_time) {
    if (const auto split = kernel.activity().take(kernel.bounds())) return towards_guide(*split);
  }
  return by_time(kernel.bounds());
}

}  // namespace budwood::levelling
