#include "levelling/search/kernel.hpp"

namespace budwood::levelling {

Kernel::Kernel(const Model& model)
    : bounds_(model.variables),
      arcs_(model.variables.size(), model.lags),
      lengths_(model.variables.size(), model.lengths),
      rooms_(model.variables.size(), model.demands, model.free),
      costs_(model.variables.size(), model.sums),
      clauses_(model.variables.size()),
      activity_(bounds_) {}

bool Kernel::start() {
  next_ = bounds_.size();
  for (SideId side = 0; side < 2 * bounds_.variable_count(); ++side) {
    // Windows may begin or end on days that are not allowed.
    const Value settled = bounds_.settled(side, bounds_.low(side));
    if (!bounds_.push({side, settled}, {})) return false;
  }
  if (!arcs_.propagate_all(bounds_) || !lengths_.propagate_all(bounds_)) return false;
  rooms_.touch_all();
  costs_.touch_all();
  return propagate();
}

void Kernel::decide(Fact fact) {
  bounds_.open_level();
  rooms_.open_level();
  bounds_.push(fact, {Reason::Kind::decision, 0});
}

bool Kernel::require(Fact fact) {
  return bounds_.push(fact, {}) && propagate();
}

bool Kernel::propagate() {
  for (;;) {
    if (next_ < bounds_.size()) {
      const Bounds::Entry entry = bounds_.entry(next_++);
      const Value old = bounds_.entry(entry.previous).value;
      ++steps_;
      if (!clauses_.propagate(bounds_, entry.side, old, entry.value)) return false;
      if (!arcs_.propagate(bounds_, entry.side)) return false;
      if (!lengths_.propagate(bounds_, entry.side)) return false;
      rooms_.touch(entry.side);
      costs_.touch(entry.side);
    } else if (costs_.pending()) {
      if (!costs_.propagate(bounds_)) return false;
    } else if (rooms_.pending()) {
      if (!rooms_.propagate(bounds_)) return false;
    } else {
      return true;
    }
  }
}

void Kernel::back_to(std::uint32_t level) {
  if (level >= bounds_.level()) return;
  bounds_.back_to(level);
  rooms_.back_to(level);
  costs_.forget();
  activity_.back_to(level);
  next_ = bounds_.size();
}

}  // namespace budwood::levelling
