#include "levelling/rules/cost_rule.hpp"

#include <algorithm>
#include <utility>

namespace budwood::levelling {

namespace {

Cost paid(const CostPart& part, Value value) {
  return value > part.free ? part.weight * (static_cast<Cost>(value) - part.free) : 0;
}

/// What the sides of a part come to at least.
Value least(const Bounds& bounds, const CostPart& part) {
  return bounds.low(part.side) + (part.other == no_side ? 0 : bounds.low(part.other));
}

bool keep_below(Bounds& bounds, SideId side, Cost most, Reason reason) {
  return most >= -bounds.low(side ^ 1U) ||
         bounds.push({side ^ 1U, static_cast<Value>(-most)}, reason);
}

Cost rounded_up(Cost sum, Cost unit) {
  return (sum + unit - 1) / unit;
}

}  // namespace

CostRule::CostRule(std::size_t variables, std::vector<CostSum> sums)
    : sums_(std::move(sums)), of_side_(2 * variables), is_waiting_(sums_.size()) {
  for (std::uint32_t id = 0; id < sums_.size(); ++id) {
    for (const CostPart& part : sums_[id].parts) {
      for (const SideId side : {part.side, part.other}) {
        if (side == no_side) continue;
        std::vector<std::uint32_t>& list = of_side_[side];
        if (list.empty() || list.back() != id) list.push_back(id);
      }
    }
    of_side_[upper_side(sums_[id].total)].push_back(id);
  }
}

void CostRule::queue(std::uint32_t id) {
  if (is_waiting_[id]) return;
  is_waiting_[id] = 1;
  waiting_.push_back(id);
}

void CostRule::touch(SideId side) {
  for (const std::uint32_t id : of_side_[side]) queue(id);
}

void CostRule::touch_all() {
  for (std::uint32_t id = 0; id < sums_.size(); ++id) queue(id);
}

void CostRule::forget() {
  for (const std::uint32_t id : waiting_) is_waiting_[id] = 0;
  waiting_.clear();
}

bool CostRule::propagate(Bounds& bounds) {
  const std::uint32_t id = waiting_.back();
  waiting_.pop_back();
  is_waiting_[id] = 0;
  const CostSum& cost = sums_[id];
  const Reason reason{Reason::Kind::cost, id};
  Cost sum = 0;
  for (const CostPart& part : cost.parts) sum += paid(part, least(bounds, part));
  if (!bounds.push(at_least(cost.total, static_cast<Value>(rounded_up(sum, cost.unit))), reason)) {
    return false;
  }
  const Cost left = cost.unit * bounds.most(cost.total) - sum;
  for (const CostPart& part : cost.parts) {
    const Cost most = part.free + (left + paid(part, least(bounds, part))) / part.weight;
    if (part.other == no_side) {
      if (!keep_below(bounds, part.side, most, reason)) return false;
      continue;
    }
    if (!keep_below(bounds, part.side, most - bounds.low(part.other), reason) ||
        !keep_below(bounds, part.other, most - bounds.low(part.side), reason)) {
      return false;
    }
  }
  return true;
}

/// The part that refused the own side that value pays more, with the others as they were, than is
/// left; only that one is taken at the refused value, as each part pushes by itself.
void CostRule::explain(const Bounds& bounds, std::uint32_t id, Fact pushed, Position before,
                       std::vector<Fact>& facts) const {
  const CostSum& cost = sums_[id];
  const auto low = [&](SideId side) {
    return side == no_side ? 0 : bounds.low_before(side, before);
  };
  Cost sum = 0;
  for (const CostPart& part : cost.parts) sum += paid(part, low(part.side) + low(part.other));
  if (pushed.side == lower_side(cost.total)) {
    const Cost needed = cost.unit * (static_cast<Cost>(bounds.relaxed(pushed)) - 1) + 1;
    explain_parts(bounds, cost, nullptr, no_side, before, sum - needed, facts);
    return;
  }
  const SideId own = pushed.side ^ 1U;
  const auto refused = static_cast<Value>(1 - bounds.relaxed(pushed));
  const Value total = bounds.low_before(upper_side(cost.total), before);
  facts.push_back({upper_side(cost.total), total});
  const Cost needed = cost.unit * -static_cast<Cost>(total) + 1;
  for (const CostPart& part : cost.parts) {
    if (part.side != own && part.other != own) continue;
    const Value others = low(part.side == own ? part.other : part.side);
    const Cost spare =
        sum - paid(part, low(part.side) + low(part.other)) + paid(part, refused + others) - needed;
    if (spare < 0) continue;
    explain_parts(bounds, cost, &part, own, before, spare, facts);
    return;
  }
}

/// Parts give way where the sum is more than is needed, those at the front first. Of the pushing
/// part the own side says nothing.
void CostRule::explain_parts(const Bounds& bounds, const CostSum& cost, const CostPart* pushing,
                             SideId own, Position before, Cost spare, std::vector<Fact>& facts) {
  const auto low = [&](SideId side) {
    return side == no_side ? 0 : bounds.low_before(side, before);
  };
  for (const CostPart& part : cost.parts) {
    if (&part == pushing) {
      const SideId beside = part.side == own ? part.other : part.side;
      if (beside != no_side) facts.push_back({beside, low(beside)});
      continue;
    }
    const Cost pays = paid(part, low(part.side) + low(part.other));
    if (pays == 0) continue;
    if (pays <= spare) {
      spare -= pays;
      continue;
    }
    const Cost steps = spare / part.weight;
    spare -= steps * part.weight;
    facts.push_back({part.side, static_cast<Value>(low(part.side) - steps)});
    if (part.other != no_side) facts.push_back({part.other, low(part.other)});
  }
}

}  // namespace budwood::levelling
