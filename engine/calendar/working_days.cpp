#include "calendar/calendar.hpp"

#include <algorithm>

namespace budwood::calendar {

WorkingDays::WorkingDays() : days_(DaySet::all()) {}

WorkingDays::WorkingDays(const std::vector<Weekday>& weekdays, const std::vector<Day>& closed)
    : weekdays_(0) {
  for (const Weekday day : weekdays) {
    weekdays_ = static_cast<std::uint8_t>(weekdays_ | 1U << static_cast<unsigned>(day));
  }
  for (Day day = first_day; day <= last_day; ++day) reopen(day);
  for (const Day day : closed) days_.remove(day);
}

void WorkingDays::reopen(Day day) {
  if ((weekdays_ >> static_cast<unsigned>(weekday(day)) & 1U) != 0) days_.insert(day);
}

void WorkingDays::close(Day first, Day last) {
  for (Day day = std::max(first, first_day); day <= std::min(last, last_day); ++day) {
    days_.remove(day);
  }
}

std::string WorkingDays::reason_closed(Day day) const {
  if (works(day)) return {};
  if (day < first_day || day > last_day) return "outside the calendar";
  const Weekday today = weekday(day);
  if ((weekdays_ >> static_cast<unsigned>(today) & 1U) != 0) return "a closed day";
  return "a " + std::string(long_name(today));
}

}  // namespace budwood::calendar
