/// What is taken of a resource on every day stays within what there is. Used inside this module
/// only.
#pragma once

#include <cstdint>
#include <vector>

#include "levelling/search/bounds.hpp"

namespace budwood::levelling {

/// An amount taken on the days from + from_offset <= d < to + to_offset. With `missed`, which is
/// only for demands with one variable at both ends, nothing is taken when that is on such a day.
struct Demand {
  ResourceId resource = 0;
  Amount amount = 0;
  VariableId from = 0;
  Value from_offset = 0;
  VariableId to = 0;
  Value to_offset = 0;
  const calendar::DaySet* missed = nullptr;
};

/// What is free of a resource, by day from `first` on. Covers all days on which a demand can fall.
struct FreeDays {
  Value first = 0;
  std::vector<Amount> amounts;
};

/// Time-table propagation of cumulative resources with pointwise explanations (Schutt, Feydy,
/// Stuckey & Wallace 2011 and 2013): a demand surely takes its amount between its latest start and
/// its earliest end; on a day on which the others surely take too much, it cannot run. Start and
/// end may be different variables.
class RoomRule {
 public:
  RoomRule(std::size_t variables, std::vector<Demand> demands, std::vector<FreeDays> free);

  /// Notes the rise of a side.
  void touch(SideId side);
  void touch_all();
  bool pending() const { return !changed_.empty() || !unchecked_.empty(); }
  /// One step of what is pending. False when a bound failed.
  bool propagate(Bounds& bounds);

  void open_level() { levels_.push_back(static_cast<std::uint32_t>(undo_.size())); }
  void back_to(std::uint32_t level);

 private:
  /// The days on which a demand surely runs: begin <= d < end.
  struct Sure {
    Value begin = 0;
    Value end = 0;
    bool empty() const { return begin >= end; }
  };
  struct Undo {
    std::uint32_t demand = 0;
    Sure before;
  };

  Amount& room(std::uint32_t demand, Value day);
  bool grow(Bounds& bounds, std::uint32_t id);
  bool take(Bounds& bounds, std::uint32_t id, Value begin, Value end);
  void give_back(std::uint32_t id, Sure before);
  void wake_others(const Bounds& bounds, std::uint32_t id, Value begin, Value end);
  bool check(Bounds& bounds, std::uint32_t id);
  bool push_start(Bounds& bounds, std::uint32_t id);
  bool push_end(Bounds& bounds, std::uint32_t id);
  void take_part(const Bounds& bounds, ResourceId resource, Value day, Amount too_much,
                 std::uint32_t except);
  bool overload(Bounds& bounds, ResourceId resource, Value day);
  void queue_check(std::uint32_t id);

  Value start_low(const Bounds& b, const Demand& d) const {
    return b.least(d.from) + d.from_offset;
  }
  Value start_high(const Bounds& b, const Demand& d) const {
    return b.most(d.from) + d.from_offset;
  }
  Value end_low(const Bounds& b, const Demand& d) const { return b.least(d.to) + d.to_offset; }
  Value end_high(const Bounds& b, const Demand& d) const { return b.most(d.to) + d.to_offset; }

  std::vector<Demand> demands_;
  std::vector<Sure> sure_;  ///< by demand
  std::vector<FreeDays> free_;
  std::vector<FreeDays> room_;  ///< what is free less what is surely taken
  std::vector<std::vector<std::uint32_t>> of_resource_;
  std::vector<std::vector<std::uint32_t>> of_variable_;
  std::vector<Undo> undo_;
  std::vector<std::uint32_t> levels_;
  std::vector<std::uint32_t> changed_, unchecked_;
  std::vector<char> is_changed_, is_unchecked_;
  std::vector<Fact> facts_;            ///< scratch
  std::vector<std::uint32_t> taking_;  ///< scratch
};

}  // namespace budwood::levelling
