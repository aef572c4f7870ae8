#pragma once

#include <cstddef>
#include <vector>

#include "calendar/calendar.hpp"

namespace budwood::drawing {

/// Days from `first` to `last`, both included; none when `last` comes before `first`.
struct DayRange {
  calendar::Day first = 0;
  calendar::Day last = -1;

  bool empty() const { return last < first; }
  std::size_t size() const { return empty() ? 0 : static_cast<std::size_t>(last - first) + 1; }
  bool meets(calendar::Day from, calendar::Day to) const {
    return !empty() && from <= last && to >= first;
  }
};

/// The parts of a range that lie in one ISO week each.
std::vector<DayRange> weeks_of(const DayRange& days);
/// The parts of a range that lie in one month each.
std::vector<DayRange> months_of(const DayRange& days);

}  // namespace budwood::drawing
