#include "levelling/search/activity.hpp"

#include <utility>

namespace budwood::levelling {

Activity::Activity(const Bounds& bounds) : by_value_(bounds.variable_count()) {}

Activity::SplitId Activity::split_of(const Bounds& bounds, Fact fact) {
  const VariableId x = fact.side / 2;
  if (fact.side == upper_side(x)) fact = opposite(fact);
  fact.value = bounds.settled(fact.side, fact.value);
  const Value first = bounds.initial(lower_side(x));
  const Value last = -bounds.initial(upper_side(x));
  if (fact.value <= first || fact.value > last) return none;
  std::vector<SplitId>& values = by_value_[x];
  const auto at = static_cast<std::size_t>(fact.value - first);
  if (at >= values.size()) values.resize(at + 1, none);
  if (values[at] == none) {
    values[at] = static_cast<SplitId>(splits_.size());
    splits_.push_back({fact, 0, none});
    insert(values[at]);
  }
  return values[at];
}

void Activity::bump(const Bounds& bounds, Fact fact) {
  const SplitId id = split_of(bounds, fact);
  if (id == none) return;
  splits_[id].activity += step_;
  if (splits_[id].activity > 1e100) {
    for (Split& split : splits_) split.activity *= 1e-100;
    step_ *= 1e-100;
  }
  if (splits_[id].place != none) rise(splits_[id].place);
}

std::optional<Fact> Activity::take(const Bounds& bounds) {
  while (!heap_.empty()) {
    const SplitId top = heap_.front();
    splits_[top].place = none;
    const SplitId last = heap_.back();
    heap_.pop_back();
    if (!heap_.empty()) {
      put(0, last);
      sink(0);
    }
    taken_.push_back({top, bounds.level()});
    const Fact fact = splits_[top].fact;
    if (!bounds.holds(fact) && !bounds.fails(fact)) return fact;
  }
  return {};
}

void Activity::back_to(std::uint32_t level) {
  // What was taken at the level itself may have been passed over only because of what was decided
  // there, or have led to the decision above it; so it is open again too.
  while (!taken_.empty() && taken_.back().level >= level) {
    const SplitId split = taken_.back().split;
    taken_.pop_back();
    if (splits_[split].place == none) insert(split);
  }
}

void Activity::insert(SplitId split) {
  heap_.push_back(split);
  splits_[split].place = static_cast<std::uint32_t>(heap_.size() - 1);
  rise(splits_[split].place);
}

void Activity::put(std::uint32_t place, SplitId split) {
  heap_[place] = split;
  splits_[split].place = place;
}

void Activity::rise(std::uint32_t place) {
  const SplitId split = heap_[place];
  while (place > 0) {
    const std::uint32_t above = (place - 1) / 2;
    if (splits_[heap_[above]].activity >= splits_[split].activity) break;
    put(place, heap_[above]);
    place = above;
  }
  put(place, split);
}

void Activity::sink(std::uint32_t place) {
  const SplitId split = heap_[place];
  for (;;) {
    std::uint32_t below = 2 * place + 1;
    if (below >= heap_.size()) break;
    if (below + 1 < heap_.size() &&
        splits_[heap_[below + 1]].activity > splits_[heap_[below]].activity) {
      ++below;
    }
    if (splits_[heap_[below]].activity <= splits_[split].activity) break;
    put(place, heap_[below]);
    place = below;
  }
  put(place, split);
}

}  // namespace budwood::levelling
