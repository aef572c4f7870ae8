#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "calendar/calendar.hpp"

using namespace budwood::calendar;

namespace {

std::string week_date(const char* date) {
  const Day day = parse_iso_date(date).value();
  return iso_week_text(day) + "-" + std::to_string(iso_week(day).weekday);
}

bool is_leap(int year) {
  return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

/// A year has 53 weeks when it starts on a Thursday, or on a Wednesday and is a leap year.
unsigned weeks_in_year(int year, unsigned weekday_of_new_year) {
  return weekday_of_new_year == 4 || (weekday_of_new_year == 3 && is_leap(year)) ? 53 : 52;
}

}  // namespace

TEST_CASE("published week dates") {
  CHECK(week_date("1985-04-12") == "1985-W15-5");  // ISO 8601:2000, 5.2.3.1
  CHECK(week_date("2006-12-31") == "2006-W52-7");  // descriptions of the ISO week date
  CHECK(week_date("2005-01-01") == "2004-W53-6");  // ISO 8601 week rule
  CHECK(week_date("2008-12-29") == "2009-W01-1");  // ISO 8601 week rule
  CHECK(week_date("2012-12-31") == "2013-W01-1");  // ISO 8601 rule sheet
  // ISO 8601 week rule; one widely copied text says 2023-W01-6.
  CHECK(week_date("2022-12-31") == "2022-W52-6");
}

TEST_CASE("weeks just outside the calendar") {
  CHECK(iso_week(-1) == IsoWeek{1970, 1, 3});  // 1969-12-31 was a Wednesday
  CHECK(iso_week(-4) == IsoWeek{1969, 52, 7});
  CHECK(iso_week(last_day + 1) == IsoWeek{2200, 1, 3});  // 2200-01-01
}

// ISO week calendar: the years with 53 weeks, 71 of them in 400 years.
TEST_CASE("years with 53 weeks") {
  std::vector<int> long_years;
  for (int year = 2000; year <= 2032; ++year) {
    if (iso_week(*day_of({year, 12, 28})).week == 53) long_years.push_back(year);
  }
  CHECK(long_years == std::vector<int>{2004, 2009, 2015, 2020, 2026, 2032});

  // The calendar holds 230 years. The rest of the 400 repeats them: 400 Gregorian years are a whole
  // number of weeks, so the oracle that the next test holds against iso_week may count them.
  int count = 0;
  unsigned new_year = 4;  // 1970-01-01
  for (int year = 1970; year < 2370; ++year) {
    if (weeks_in_year(year, new_year) == 53) ++count;
    new_year = (new_year - 1 + (is_leap(year) ? 366 : 365)) % 7 + 1;
  }
  CHECK(count == 71);
}

TEST_CASE("week dates agree with a walk from day to day over the whole calendar") {
  IsoWeek walk{1970, 1, 4};
  int year = 1970;  // the civil year, to know the weekday of its first day
  unsigned new_year = 4;
  for (Day day = first_day; day <= last_day; ++day) {
    if (date_of(day).year != year) {
      year = date_of(day).year;
      new_year = walk.weekday;
    }
    REQUIRE(iso_week(day) == walk);
    if (++walk.weekday > 7) {
      walk.weekday = 1;
      const unsigned weeks = weeks_in_year(walk.year, walk.year == year ? new_year : 0);
      if (++walk.week > weeks) {
        walk.week = 1;
        ++walk.year;
      }
    }
  }
}
