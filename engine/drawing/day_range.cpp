#include "drawing/day_range.hpp"

#include <algorithm>

namespace budwood::drawing {

using calendar::Day;

std::vector<DayRange> weeks_of(const DayRange& days) {
  std::vector<DayRange> out;
  for (Day day = days.first; day <= days.last;) {
    const Day sunday = day + 6 - static_cast<Day>(calendar::weekday(day));
    out.push_back({day, std::min(sunday, days.last)});
    day = sunday + 1;
  }
  return out;
}

std::vector<DayRange> months_of(const DayRange& days) {
  std::vector<DayRange> out;
  for (Day day = days.first; day <= days.last; ++day) {
    if (out.empty() || calendar::date_of(day).day == 1) out.push_back({day, day});
    out.back().last = day;
  }
  return out;
}

}  // namespace budwood::drawing
