#include "levelling/search/arcs.hpp"

namespace budwood::levelling {

template <class Item>
void Arcs::Lists<Item>::add(const std::vector<Item>& list) {
  if (first.empty()) first.push_back(0);
  items.insert(items.end(), list.begin(), list.end());
  first.push_back(static_cast<std::uint32_t>(items.size()));
}

Arcs::Arcs(std::size_t variables, const std::vector<Lagged>& lags) {
  std::vector<std::vector<Exit>> exits(2 * variables);
  std::vector<std::vector<std::uint32_t>> guarded(2 * variables);
  const auto add = [&](Arc arc) {
    const auto id = static_cast<std::uint32_t>(arcs_.size());
    exits[arc.source].push_back({arc.target, arc.days, id, arc.guarded, arc.guard});
    if (arc.guarded) guarded[arc.guard.side].push_back(id);
    arcs_.push_back(arc);
  };
  for (const Lagged& lag : lags) {
    const Fact guard = lag.guard.value_or(Fact{});
    add({lower_side(lag.earlier), lower_side(lag.later), lag.days, lag.guard.has_value(), guard});
    add({upper_side(lag.later), upper_side(lag.earlier), lag.days, lag.guard.has_value(), guard});
  }
  for (const auto& list : exits) exits_.add(list);
  for (const auto& list : guarded) guarded_.add(list);
}

/// The bound of the target is below `reach`: it rises, or the guard is refuted.
bool Arcs::push(Bounds& bounds, const Exit& exit, Value reach) const {
  if (exit.guarded && !bounds.holds(exit.guard)) {
    if (reach + bounds.low(exit.target ^ 1U) <= 0) return true;
    return bounds.push(opposite(exit.guard), {Reason::Kind::guard, exit.arc});
  }
  return bounds.push({exit.target, reach}, {Reason::Kind::arc, exit.arc});
}

bool Arcs::follow(Bounds& bounds, std::uint32_t id) const {
  const Arc& arc = arcs_[id];
  const Value reach = bounds.low(arc.source) + arc.days;
  if (reach <= bounds.low(arc.target)) return true;
  return push(bounds, {arc.target, arc.days, id, arc.guarded, arc.guard}, reach);
}

bool Arcs::propagate(Bounds& bounds, SideId side) const {
  const Exit* const last = exits_.end_of(side);
  for (const Exit* exit = exits_.begin_of(side); exit != last; ++exit) {
    const Value reach = bounds.low(side) + exit->days;
    if (reach > bounds.low(exit->target) && !push(bounds, *exit, reach)) return false;
  }
  const std::uint32_t* const end = guarded_.end_of(side);
  for (const std::uint32_t* arc = guarded_.begin_of(side); arc != end; ++arc) {
    if (!follow(bounds, *arc)) return false;
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
