#include "levelling/rules/room_rule.hpp"

#include <algorithm>
#include <utility>

namespace budwood::levelling {

namespace {

constexpr std::uint32_t nobody = UINT32_MAX;

/// Whether a demand may yet take nothing.
bool may_miss(const Bounds& bounds, const Demand& demand) {
  if (demand.missed == nullptr) return false;
  const auto missed = demand.missed->next(bounds.least(demand.from));
  return missed && *missed <= bounds.most(demand.from);
}

/// A fact "not before this day", made as strong as it takes that no missed day lies between it and
/// the bound.
Fact after_missed(const Bounds& bounds, const Demand& demand, Fact fact) {
  if (demand.missed == nullptr) return fact;
  const auto missed = demand.missed->previous(bounds.least(demand.from));
  return missed ? Fact{fact.side, std::max(fact.value, *missed + 1)} : fact;
}

Fact before_missed(const Bounds& bounds, const Demand& demand, Fact fact) {
  if (demand.missed == nullptr) return fact;
  const auto missed = demand.missed->next(bounds.most(demand.from));
  return missed ? Fact{fact.side, std::max(fact.value, 1 - *missed)} : fact;
}

}  // namespace

RoomRule::RoomRule(std::size_t variables, std::vector<Demand> demands, std::vector<FreeDays> free)
    : demands_(std::move(demands)),
      sure_(demands_.size()),
      free_(std::move(free)),
      room_(free_),
      of_resource_(free_.size()),
      of_variable_(variables),
      is_changed_(demands_.size()),
      is_unchecked_(demands_.size()) {
  for (std::uint32_t id = 0; id < demands_.size(); ++id) {
    const Demand& demand = demands_[id];
    of_resource_[demand.resource].push_back(id);
    of_variable_[demand.from].push_back(id);
    if (demand.to != demand.from) of_variable_[demand.to].push_back(id);
  }
}

Amount& RoomRule::room(std::uint32_t id, Value day) {
  FreeDays& days = room_[demands_[id].resource];
  return days.amounts[static_cast<std::size_t>(day - days.first)];
}

void RoomRule::queue_check(std::uint32_t id) {
  if (is_unchecked_[id]) return;
  is_unchecked_[id] = 1;
  unchecked_.push_back(id);
}

void RoomRule::touch(SideId side) {
  const VariableId x = side / 2;
  for (const std::uint32_t id : of_variable_[x]) {
    queue_check(id);
    const Demand& demand = demands_[id];
    const bool grows = side == upper_side(demand.from) || side == lower_side(demand.to);
    if (!grows || is_changed_[id]) continue;
    is_changed_[id] = 1;
    changed_.push_back(id);
  }
}

void RoomRule::touch_all() {
  for (SideId side = 0; side < 2 * of_variable_.size(); ++side) touch(side);
}

bool RoomRule::propagate(Bounds& bounds) {
  while (!changed_.empty()) {
    const std::uint32_t id = changed_.back();
    changed_.pop_back();
    is_changed_[id] = 0;
    if (!grow(bounds, id)) return false;
  }
  if (unchecked_.empty()) return true;
  const std::uint32_t id = unchecked_.back();
  unchecked_.pop_back();
  is_unchecked_[id] = 0;
  return check(bounds, id);
}

bool RoomRule::grow(Bounds& bounds, std::uint32_t id) {
  const Demand& demand = demands_[id];
  const Sure old = sure_[id];
  const Sure now{start_high(bounds, demand), end_low(bounds, demand)};
  if (now.empty() || may_miss(bounds, demand)) return true;
  undo_.push_back({id, old});
  sure_[id] = now;
  if (old.empty()) return take(bounds, id, now.begin, now.end);
  const bool before = take(bounds, id, now.begin, old.begin);
  const bool after = take(bounds, id, old.end, now.end);
  return before && after;
}

/// Takes all days even when one is too full, so that giving back is always the same.
bool RoomRule::take(Bounds& bounds, std::uint32_t id, Value begin, Value end) {
  if (begin >= end) return true;
  Value full = end;
  for (Value day = begin; day < end; ++day) {
    Amount& left = room(id, day);
    left -= demands_[id].amount;
    if (left < 0) full = day;
  }
  if (full < end) return overload(bounds, demands_[id].resource, full);
  wake_others(bounds, id, begin, end);
  return true;
}

void RoomRule::give_back(std::uint32_t id, Sure before) {
  const Sure now = sure_[id];
  sure_[id] = before;
  const Amount amount = demands_[id].amount;
  if (before.empty()) {
    for (Value day = now.begin; day < now.end; ++day) room(id, day) += amount;
    return;
  }
  for (Value day = now.begin; day < before.begin; ++day) room(id, day) += amount;
  for (Value day = before.end; day < now.end; ++day) room(id, day) += amount;
}

void RoomRule::wake_others(const Bounds& bounds, std::uint32_t id, Value begin, Value end) {
  Amount least = room(id, begin);
  for (Value day = begin + 1; day < end; ++day) least = std::min(least, room(id, day));
  for (const std::uint32_t other : of_resource_[demands_[id].resource]) {
    const Demand& demand = demands_[other];
    if (demand.amount <= least || is_unchecked_[other]) continue;
    const bool early = start_low(bounds, demand) < end && end_low(bounds, demand) > begin;
    const bool late = start_high(bounds, demand) < end && end_high(bounds, demand) > begin;
    if (early || late) queue_check(other);
  }
}

bool RoomRule::check(Bounds& bounds, std::uint32_t id) {
  return push_start(bounds, id) && push_end(bounds, id);
}

/// The last day that is too full on which the demand runs unless it starts later.
bool RoomRule::push_start(Bounds& bounds, std::uint32_t id) {
  const Demand& demand = demands_[id];
  const Value first = start_low(bounds, demand);
  Value day = std::min(end_low(bounds, demand), start_high(bounds, demand));
  while (--day >= first) {
    if (room(id, day) >= demand.amount) continue;
    Value from = day + 1 - demand.from_offset;
    Fact early = at_least(demand.to, day + 1 - demand.to_offset);
    if (demand.missed != nullptr) {
      const Value low = bounds.least(demand.from);
      from = std::min(from, demand.missed->next(low).value_or(from));
      if (from <= low) return true;
      early = after_missed(bounds, demand, early);
    }
    facts_.assign(1, early);
    take_part(bounds, demand.resource, day, demand.amount, id);
    return bounds.push(at_least(demand.from, from), bounds.store(facts_));
  }
  return true;
}

bool RoomRule::push_end(Bounds& bounds, std::uint32_t id) {
  const Demand& demand = demands_[id];
  const Value end = end_high(bounds, demand);
  for (Value day = std::max(start_high(bounds, demand), end_low(bounds, demand)); day < end;
       ++day) {
    if (room(id, day) >= demand.amount) continue;
    Value to = day - demand.to_offset;
    Fact late = at_most(demand.from, day - demand.from_offset);
    if (demand.missed != nullptr) {
      const Value high = bounds.most(demand.from);
      to = std::max(to, demand.missed->previous(high).value_or(to));
      if (to >= high) return true;
      late = before_missed(bounds, demand, late);
    }
    facts_.assign(1, late);
    take_part(bounds, demand.resource, day, demand.amount, id);
    return bounds.push(at_most(demand.to, to), bounds.store(facts_));
  }
  return true;
}

/// Adds the facts by which others take so much on a day that `amount` has no room; those that are
/// not needed for it are left out, small ones first.
void RoomRule::take_part(const Bounds& bounds, ResourceId resource, Value day, Amount amount,
                         std::uint32_t except) {
  const FreeDays& free = free_[resource];
  Amount spare = amount - free.amounts[static_cast<std::size_t>(day - free.first)] - 1;
  taking_.clear();
  for (const std::uint32_t id : of_resource_[resource]) {
    if (id == except || sure_[id].begin > day || sure_[id].end <= day) continue;
    taking_.push_back(id);
    spare += demands_[id].amount;
  }
  std::sort(taking_.begin(), taking_.end(), [this](std::uint32_t a, std::uint32_t b) {
    const Amount one = demands_[a].amount, two = demands_[b].amount;
    return one != two ? one < two : a < b;
  });
  for (const std::uint32_t id : taking_) {
    const Demand& demand = demands_[id];
    if (demand.amount <= spare) {
      spare -= demand.amount;
      continue;
    }
    const Fact late = at_most(demand.from, day - demand.from_offset);
    const Fact early = at_least(demand.to, day + 1 - demand.to_offset);
    facts_.push_back(before_missed(bounds, demand, late));
    facts_.push_back(after_missed(bounds, demand, early));
  }
}

bool RoomRule::overload(Bounds& bounds, ResourceId resource, Value day) {
  facts_.clear();
  take_part(bounds, resource, day, 0, nobody);
  return bounds.fail(bounds.store(facts_));
}

void RoomRule::back_to(std::uint32_t level) {
  for (const std::uint32_t id : changed_) is_changed_[id] = 0;
  for (const std::uint32_t id : unchecked_) is_unchecked_[id] = 0;
  changed_.clear();
  unchecked_.clear();
  if (level >= levels_.size()) return;
  while (undo_.size() > levels_[level]) {
    give_back(undo_.back().demand, undo_.back().before);
    undo_.pop_back();
  }
  levels_.resize(level);
}

}  // namespace budwood::levelling
