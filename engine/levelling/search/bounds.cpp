#include "levelling/search/bounds.hpp"

#include <algorithm>

namespace budwood::levelling {

Bounds::Bounds(const std::vector<Variable>& variables) {
  for (VariableId x = 0; x < variables.size(); ++x) {
    allowed_.push_back(variables[x].allowed);
    for (const Value value : {variables[x].low, -variables[x].high}) {
      const SideId side = static_cast<SideId>(low_.size());
      low_.push_back(value);
      last_.push_back(side);
      trail_.push_back({side, value, side, 0, {}});
    }
  }
}

Value Bounds::settled(SideId side, Value value) const {
  const calendar::DaySet* const allowed = allowed_[side / 2];
  if (allowed == nullptr) return value;
  const bool lower = side % 2 == 0;
  const Value beyond = 1 - trail_[side ^ 1U].value;
  if (value >= beyond) return beyond;
  const auto day = lower ? allowed->next(value) : allowed->previous(-value);
  if (!day) return beyond;
  return std::min(beyond, lower ? *day : -*day);
}

Value Bounds::relaxed(Fact fact) const {
  const calendar::DaySet* const allowed = allowed_[fact.side / 2];
  if (allowed == nullptr) return fact.value;
  const bool lower = fact.side % 2 == 0;
  const auto before = lower ? allowed->previous(fact.value - 1) : allowed->next(-fact.value + 1);
  const Value first = trail_[fact.side].value;
  if (!before) return first;
  return std::max(first, (lower ? *before : -*before) + 1);
}

bool Bounds::push(Fact fact, Reason reason) {
  if (holds(fact)) return true;
  const Value value = settled(fact.side, fact.value);
  if (value > -low_[fact.side ^ 1U]) {
    failure_ = {{fact.side, value}, reason, false};
    return false;
  }
  trail_.push_back({fact.side, value, last_[fact.side], level(), reason});
  last_[fact.side] = size() - 1;
  low_[fact.side] = value;
  return true;
}

bool Bounds::fail(Reason stored) {
  failure_ = {{}, stored, true};
  return false;
}

Reason Bounds::store(const std::vector<Fact>& facts) {
  const auto at = static_cast<std::uint32_t>(stored_.size());
  stored_.push_back({0, static_cast<Value>(facts.size())});
  stored_.insert(stored_.end(), facts.begin(), facts.end());
  return {Reason::Kind::stored, at};
}

void Bounds::stored(Reason reason, std::vector<Fact>& facts) const {
  const auto first = stored_.begin() + reason.index + 1;
  facts.insert(facts.end(), first, first + stored_[reason.index].value);
}

void Bounds::open_level() {
  levels_.push_back({size(), stored_.size()});
}

void Bounds::back_to(std::uint32_t level) {
  if (level >= levels_.size()) return;
  const Level& mark = levels_[level];
  while (trail_.size() > mark.trail) {
    const Entry& gone = trail_.back();
    last_[gone.side] = gone.previous;
    low_[gone.side] = trail_[gone.previous].value;
    trail_.pop_back();
  }
  stored_.resize(mark.stored);
  levels_.resize(level);
}

Position Bounds::since(Fact fact) const {
  Position at = last_[fact.side];
  while (at >= low_.size() && trail_[trail_[at].previous].value >= fact.value) {
    at = trail_[at].previous;
  }
  return at;
}

Value Bounds::low_before(SideId side, Position before) const {
  Position at = last_[side];
  while (at >= before && at >= low_.size()) at = trail_[at].previous;
  return trail_[at].value;
}

}  // namespace budwood::levelling
