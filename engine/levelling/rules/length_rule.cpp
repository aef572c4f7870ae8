#include "levelling/rules/length_rule.hpp"

#include <algorithm>

namespace budwood::levelling {

bool LengthRule::cut_windows(const std::vector<Length>& lengths, std::vector<Variable>& variables) {
  for (const Length& length : lengths) {
    Variable& start = variables[length.from];
    const auto last = length.length->latest_start(calendar::last_day);
    if (!last) return false;
    start.high = std::min<Value>(start.high, *last);
    // The known starts are one run of days that reaches up to `last`, so halving finds its first.
    Value low = start.low, high = start.high;
    while (low < high) {
      const Value middle = low + (high - low) / 2;
      if (length.length->end_of(middle)) {
        high = middle;
      } else {
        low = middle + 1;
      }
    }
    start.low = low;
    if (start.low > start.high || !length.length->end_of(start.low)) return false;
  }
  return true;
}

LengthRule::LengthRule(std::size_t variables, const std::vector<Length>& lengths)
    : lengths_(&lengths), touching_(variables) {
  for (std::uint32_t id = 0; id < lengths.size(); ++id) {
    touching_[lengths[id].from].push_back(id);
    touching_[lengths[id].to].push_back(id);
  }
}

bool LengthRule::push_end(Bounds& bounds, std::uint32_t id, bool lower) const {
  const Length& length = (*lengths_)[id];
  const Reason reason{Reason::Kind::length, id};
  if (!lower) {
    return bounds.push(at_most(length.to, *length.length->end_of(bounds.most(length.from))),
                       reason);
  }
  if (length.limit) return true;
  return bounds.push(at_least(length.to, *length.length->end_of(bounds.least(length.from))),
                     reason);
}

bool LengthRule::push_start(Bounds& bounds, std::uint32_t id, bool lower) const {
  const Length& length = (*lengths_)[id];
  const Reason reason{Reason::Kind::length, id};
  if (lower) {
    const auto too_early = length.length->latest_start(bounds.least(length.to) - 1);
    return !too_early || bounds.push(at_least(length.from, *too_early + 1), reason);
  }
  if (length.limit) return true;
  const auto latest = length.length->latest_start(bounds.most(length.to));
  const Value none = -bounds.initial(lower_side(length.from));
  return bounds.push({upper_side(length.from), latest ? -*latest : 1 + none}, reason);
}

bool LengthRule::propagate(Bounds& bounds, SideId side) const {
  const VariableId x = side / 2;
  const bool lower = side == lower_side(x);
  for (const std::uint32_t id : touching_[x]) {
    const Length& length = (*lengths_)[id];
    if (length.from == x && !push_end(bounds, id, lower)) return false;
    if (length.to == x && !push_start(bounds, id, lower)) return false;
  }
  return true;
}

bool LengthRule::propagate_all(Bounds& bounds) const {
  for (std::uint32_t id = 0; id < lengths_->size(); ++id) {
    for (const bool lower : {true, false}) {
      if (!push_end(bounds, id, lower) || !push_start(bounds, id, lower)) return false;
    }
  }
  return true;
}

void LengthRule::explain(const Bounds& bounds, std::uint32_t id, Fact pushed,
                         std::vector<Fact>& facts) const {
  const Length& length = (*lengths_)[id];
  const bool lower = pushed.side % 2 == 0;
  const Value raw = bounds.relaxed(pushed);
  // Days out of the start's first window stand for facts that held from the beginning.
  const Value first = bounds.initial(lower_side(length.from));
  const Value last = -bounds.initial(upper_side(length.from));
  if (pushed.side / 2 == length.to) {
    // end >= raw as start > the latest start that ends before; end <= -raw as start <= the latest
    // start that ends by then.
    const auto start = length.length->latest_start(lower ? raw - 1 : -raw);
    if (lower) {
      facts.push_back(at_least(length.from, start ? std::max(first, *start + 1) : first));
    } else {
      facts.push_back(at_most(length.from, start ? std::min(last, *start) : first));
    }
  } else if (lower) {
    // start >= raw as the start before ends too early.
    if (raw > first) {
      facts.push_back(at_least(length.to, *length.length->end_of(std::min(raw - 1, last)) + 1));
    }
  } else {
    // start <= -raw as the start after ends too late.
    if (-raw < last) {
      facts.push_back(at_most(length.to, *length.length->end_of(std::max(1 - raw, first)) - 1));
    }
  }
}

}  // namespace budwood::levelling
