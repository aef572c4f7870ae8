#include <doctest/doctest.h>

#include "calendar/calendar.hpp"

using namespace budwood::calendar;

TEST_CASE("days and dates turn into each other over the whole calendar") {
  Date date{1970, 1, 1};
  const unsigned lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  for (Day day = first_day; day <= last_day; ++day) {
    REQUIRE(date_of(day) == date);
    REQUIRE(day_of(date) == day);
    REQUIRE(parse_iso_date(iso_date(day)) == day);
    // The next date, by the Gregorian rule written out.
    const bool leap = date.year % 4 == 0 && (date.year % 100 != 0 || date.year % 400 == 0);
    const unsigned length = lengths[date.month - 1] + (leap && date.month == 2 ? 1 : 0);
    if (++date.day > length) {
      date.day = 1;
      if (++date.month > 12) {
        date.month = 1;
        ++date.year;
      }
    }
  }
  CHECK(date == Date{2200, 1, 1});
}

TEST_CASE("dates that do not exist or lie outside the calendar are refused") {
  CHECK_FALSE(day_of({2027, 2, 29}).has_value());
  CHECK(day_of({2028, 2, 29}).has_value());
  CHECK_FALSE(day_of({2100, 2, 29}).has_value());
  CHECK_FALSE(day_of({2027, 4, 31}).has_value());
  CHECK_FALSE(day_of({2027, 0, 1}).has_value());
  CHECK_FALSE(day_of({2027, 13, 1}).has_value());
  CHECK_FALSE(day_of({2027, 1, 0}).has_value());
  CHECK_FALSE(day_of({2027, 257, 1}).has_value());  // would be January in eight bits
  CHECK_FALSE(day_of({2027, 1, 257}).has_value());
  CHECK_FALSE(day_of({1969, 12, 31}).has_value());
  CHECK_FALSE(day_of({2200, 1, 1}).has_value());
}

TEST_CASE("only the strict ISO 8601 form of a date is read") {
  CHECK(parse_iso_date("1970-01-01") == 0);
  CHECK(parse_iso_date("2199-12-31") == last_day);
  for (const char* text :
       {"", "2027-3-14", "2027-03-14 ", " 2027-03-14", "2027/03/14", "14-03-2027", "20270314",
        "2027-03-1x", "+027-03-14", "2027-02-30", "2027-03--4", "2027-00-10", "2027-W10-3"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_iso_date(text).has_value());
  }
}

TEST_CASE("weekdays have names") {
  CHECK(weekday(0) == Weekday::thursday);  // 1970-01-01
  CHECK(weekday(-1) == Weekday::wednesday);
  CHECK(short_name(weekday(*parse_iso_date("2027-03-14"))) == "Sun");
  CHECK(long_name(Weekday::monday) == "Monday");
  CHECK(find_weekday("tue") == Weekday::tuesday);
  CHECK(find_weekday("TUE") == Weekday::tuesday);
  CHECK(find_weekday("Saturday") == Weekday::saturday);
  CHECK_FALSE(find_weekday("tues").has_value());
  CHECK_FALSE(find_weekday("").has_value());
}
