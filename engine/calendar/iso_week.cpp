#include <cstdio>

#include "calendar/calendar.hpp"

namespace budwood::calendar {

IsoWeek iso_week(Day day) {
  // A week belongs to the year of its Thursday, and week 1 is the one with the year's first
  // Thursday (ISO 8601:2004, 2.2.10).
  const int weekday_index = static_cast<int>(weekday(day));
  const Day thursday = day - weekday_index + static_cast<int>(Weekday::thursday);
  const int year = date_of(thursday).year;
  Day day_of_year = thursday;  // counted from 0 once the year's first day is taken away
  if (const std::optional<Day> new_year = day_of({year, 1, 1})) {
    day_of_year -= *new_year;
  } else {
    // Only the last Thursday after the calendar's end comes here: 2200-01-02.
    day_of_year -= last_day + 1;
  }
  return {year, static_cast<unsigned>(day_of_year / 7 + 1),
          static_cast<unsigned>(weekday_index + 1)};
}

std::string iso_week_text(Day day) {
  const IsoWeek week = iso_week(day);
  char buffer[40];
  std::snprintf(buffer, sizeof buffer, "%04d-W%02u", week.year, week.week);
  return buffer;
}

}  // namespace budwood::calendar
