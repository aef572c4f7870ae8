#include "sheet/dates/working_day_wait.hpp"

#include <algorithm>

namespace budwood::sheet {

using calendar::Day;

std::optional<Day> WorkingDayWait::end_of(Day start) const {
  if (start < window_.first || start > window_.last) return std::nullopt;
  return std::min(working_.days().next(start).value_or(start + most), start + most);
}

std::optional<Day> WorkingDayWait::latest_start(Day end) const {
  // A day later the wait for the same working day is shorter, so the first that fits is the latest.
  const Day latest = std::min(end, window_.last);
  for (Day start = latest; start >= std::max(window_.first, latest - most); --start) {
    if (*end_of(start) <= end) return start;
  }
  return std::nullopt;
}

}  // namespace budwood::sheet
