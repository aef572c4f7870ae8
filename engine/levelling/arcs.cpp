#include "levelling/arcs.hpp"

namespace budwood::levelling {

Arcs::Arcs(std::size_t variables, const std::vector<Lagged>& lags) {
  std::vector<std::vector<std::uint32_t>> lists(2 * variables);
  const auto add = [&](Arc arc) {
    lists[arc.source].push_back(static_cast<std::uint32_t>(arcs_.size()));
    if (arc.guarded) lists[arc.guard.side].push_back(static_cast<std::uint32_t>(arcs_.size()));
    arcs_.push_back(arc);
  };
  for (const Lagged& lag : lags) {
    const Fact guard = lag.guard.value_or(Fact{});
    add({lower_side(lag.earlier), lower_side(lag.later), lag.days, lag.guard.has_value(), guard});
    add({upper_side(lag.later), upper_side(lag.earlier), lag.days, lag.guard.has_value(), guard});
  }
  for (const auto& list : lists) {
    from_first_.push_back(static_cast<std::uint32_t>(from_.size()));
    from_.insert(from_.end(), list.begin(), list.end());
  }
  from_first_.push_back(static_cast<std::uint32_t>(from_.size()));
}

bool Arcs::follow(Bounds& bounds, std::uint32_t id) const {
  const Arc& arc = arcs_[id];
  const Value reach = bounds.low(arc.source) + arc.days;
  if (arc.guarded && !bounds.holds(arc.guard)) {
    if (reach + bounds.low(arc.target ^ 1U) <= 0) return true;
    return bounds.push(opposite(arc.guard), {Reason::Kind::guard, id});
  }
  if (reach <= bounds.low(arc.target)) return true;
  return bounds.push({arc.target, reach}, {Reason::Kind::arc, id});
}

bool Arcs::propagate(Bounds& bounds, SideId side) const {
  for (std::uint32_t i = from_first_[side]; i < from_first_[side + 1]; ++i) {
    if (!follow(bounds, from_[i])) return false;
  }
  return true;
}

bool Arcs::propagate_all(Bounds& bounds) const {
  for (std::uint32_t id = 0; id < arcs_.size(); ++id) {
    if (!follow(bounds, id)) return false;
  }
  return true;
}

void Arcs::explain_push(const Bounds& bounds, std::uint32_t id, Fact pushed,
                        std::vector<Fact>& facts) const {
  const Arc& arc = arcs_[id];
  facts.push_back({arc.source, bounds.relaxed(pushed) - arc.days});
  if (arc.guarded) facts.push_back(arc.guard);
}

void Arcs::explain_guard(const Bounds& bounds, std::uint32_t id, Position before,
                         std::vector<Fact>& facts) const {
  const Arc& arc = arcs_[id];
  const Value source = bounds.low_before(arc.source, before);
  facts.push_back({arc.source, source});
  facts.push_back({arc.target ^ 1U, 1 - arc.days - source});
}

}  // namespace budwood::levelling
