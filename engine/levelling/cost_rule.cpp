#include "levelling/cost_rule.hpp"

#include <algorithm>
#include <utility>

namespace budwood::levelling {

namespace {

Cost paid(const CostPart& part, Value value) {
  return value > part.free ? part.weight * (static_cast<Cost>(value) - part.free) : 0;
}

Cost rounded_up(Cost sum, Cost unit) {
  return (sum + unit - 1) / unit;
}

}  // namespace

CostRule::CostRule(std::size_t variables, std::vector<CostSum> sums)
    : sums_(std::move(sums)), of_side_(2 * variables), is_waiting_(sums_.size()) {
  for (std::uint32_t id = 0; id < sums_.size(); ++id) {
    for (const CostPart& part : sums_[id].parts) {
      std::vector<std::uint32_t>& list = of_side_[part.side];
      if (list.empty() || list.back() != id) list.push_back(id);
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
  for (const CostPart& part : cost.parts) sum += paid(part, bounds.low(part.side));
  if (!bounds.push(at_least(cost.total, static_cast<Value>(rounded_up(sum, cost.unit))), reason)) {
    return false;
  }
  const Cost left = cost.unit * bounds.most(cost.total) - sum;
  for (const CostPart& part : cost.parts) {
    const Cost own = left + paid(part, bounds.low(part.side));
    const Cost most = part.free + own / part.weight;
    if (most >= -bounds.low(part.side ^ 1U)) continue;
    if (!bounds.push({part.side ^ 1U, static_cast<Value>(-most)}, reason)) return false;
  }
  return true;
}

/// Parts give way where the sum is more than is needed, those at the front first.
void CostRule::explain(const Bounds& bounds, std::uint32_t id, Fact pushed, Position before,
                       std::vector<Fact>& facts) const {
  const CostSum& cost = sums_[id];
  const SideId own = pushed.side ^ 1U;
  Cost needed = 0;
  if (pushed.side == lower_side(cost.total)) {
    needed = cost.unit * (static_cast<Cost>(bounds.relaxed(pushed)) - 1) + 1;
  } else {
    const Value total = bounds.low_before(upper_side(cost.total), before);
    facts.push_back({upper_side(cost.total), total});
    needed = cost.unit * -static_cast<Cost>(total) + 1;
    const auto refused = static_cast<Value>(1 - bounds.relaxed(pushed));
    for (const CostPart& part : cost.parts) {
      if (part.side == own) needed -= paid(part, refused);
    }
  }
  Cost sum = 0;
  for (const CostPart& part : cost.parts) {
    if (part.side != own) sum += paid(part, bounds.low_before(part.side, before));
  }
  Cost spare = sum - needed;
  for (const CostPart& part : cost.parts) {
    if (part.side == own) continue;
    const Value value = bounds.low_before(part.side, before);
    const Cost pays = paid(part, value);
    if (pays == 0) continue;
    if (pays <= spare) {
      spare -= pays;
      continue;
    }
    const Cost steps = spare / part.weight;
    spare -= steps * part.weight;
    facts.push_back({part.side, static_cast<Value>(value - steps)});
  }
}

}  // namespace budwood::levelling
