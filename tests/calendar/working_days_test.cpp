#include <doctest/doctest.h>

#include "../day.hpp"
#include "calendar/calendar.hpp"

using namespace budwood::calendar;
using budwood::tests::day;

TEST_CASE("without more said every day is a working day") {
  const WorkingDays working;
  CHECK(working.days() == DaySet::all());
  CHECK(working.works(day("2027-03-14")));
  CHECK(working.reason_closed(day("2027-03-14")).empty());
  CHECK(working.reason_closed(-1) == "outside the calendar");
}

TEST_CASE("days are closed from the first to the last, and can be opened again") {
  WorkingDays working;
  working.close(day("2027-12-24"), day("2027-12-27"));
  CHECK(working.works(day("2027-12-23")));
  CHECK(working.reason_closed(day("2027-12-24")) == "a closed day");
  CHECK(working.reason_closed(day("2027-12-27")) == "a closed day");
  CHECK(working.works(day("2027-12-28")));
  working.reopen(day("2027-12-25"));
  CHECK(working.works(day("2027-12-25")));
  CHECK_FALSE(working.works(day("2027-12-26")));
}

TEST_CASE("weekends and closed days are not worked") {
  const WorkingDays working(
      {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
      {day("2027-01-01"), day("2027-01-02")});
  CHECK(working.works(day("2026-12-31")));
  CHECK(working.reason_closed(day("2027-01-01")) == "a closed day");
  CHECK(working.reason_closed(day("2027-01-02")) == "a Saturday");
  CHECK(working.reason_closed(day("2027-01-03")) == "a Sunday");
  CHECK(working.works(day("2027-01-04")));
  CHECK(working.days().next(day("2027-01-01")) == day("2027-01-04"));
  CHECK(working.days().size() == (last_day + 1) / 7 * 5 + 4 - 1);
}
