#include <chrono>

#include "calendar/calendar.hpp"
#include "calendar/digits.hpp"

namespace budwood::calendar {

IsoWeek iso_week(Day day) {
  // A week belongs to the year of its Thursday, and week 1 is the one with the year's first
  // Thursday (ISO 8601:2004, 2.2.10).
  const int weekday_index = static_cast<int>(weekday(day));
  const Day thursday = day - weekday_index + static_cast<int>(Weekday::thursday);
  const int year = date_of(thursday).year;
  // Not day_of: the week's year may lie just outside the calendar.
  const std::chrono::sys_days new_year = std::chrono::year{year} / 1 / 1;
  const Day day_of_year = thursday - static_cast<Day>(new_year.time_since_epoch().count());
  return {year, static_cast<unsigned>(day_of_year / 7 + 1),
          static_cast<unsigned>(weekday_index + 1)};
}

std::string iso_week_text(Day day) {
  const IsoWeek week = iso_week(day);
  std::string out;
  append_digits(out, week.year, 4);
  out += "-W";
  append_digits(out, static_cast<int>(week.week), 2);
  return out;
}

}  // namespace budwood::calendar
