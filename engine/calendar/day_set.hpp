/// Closed days live in sets of days. Work that must be done on a day of its stage shifts the
/// set of working days onto the stage's start, and the sets are kept by stage and length: the
/// network has two points a stage, however much work there is in it.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

namespace budwood::calendar {

/// A civil day, counted from 1970-01-01 = 0.
using Day = std::int32_t;

/// The days that plans can use: 1970-01-01 to 2199-12-31.
inline constexpr Day first_day = 0;
inline constexpr Day last_day = 84005;

/// A set of days between `first_day` and `last_day`, one bit a day (10 KB). Looking for the next or
/// the previous member takes a step a machine word, so do unions, ranges and shifts.
class DaySet {
 public:
  /// No days.
  DaySet();
  static DaySet all();
  static DaySet none();
  /// The days from `first` to `last`, both included; what lies outside the calendar is left out.
  static DaySet between(Day first, Day last);

  /// A day outside the calendar is never a member: inserting it does nothing.
  void insert(Day day);
  /// Inserts the days from `first` to `last`, both included.
  void insert(Day first, Day last);
  void remove(Day day);
  bool contains(Day day) const;
  bool empty() const;
  std::size_t size() const;

  /// The first member on or after `day`, or the last on or before it.
  std::optional<Day> next(Day day) const;
  std::optional<Day> previous(Day day) const;

  DaySet& operator&=(const DaySet& other);
  DaySet& operator|=(const DaySet& other);
  friend bool operator==(const DaySet&, const DaySet&) = default;

  /// { d : d + offset is a member }; what would come from outside the calendar is not a member.
  DaySet seen_from(Day offset) const;
  /// { d : one of d + from ... d + to is a member }; empty when to < from.
  DaySet any_within(Day from, Day to) const;

 private:
  std::vector<std::uint64_t> words_;  ///< day d is bit d % 64 of word d / 64; spare bits are 0
};

}  // namespace budwood::calendar
