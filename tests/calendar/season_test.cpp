#include <doctest/doctest.h>

#include <random>

#include "../day.hpp"
#include "calendar/calendar.hpp"

using namespace budwood::calendar;
using budwood::tests::day;

TEST_CASE("days of the year are named by month") {
  CHECK(year_day(15, "May") == YearDay{5, 15});
  CHECK(year_day(1, "sep") == YearDay{9, 1});
  CHECK(year_day(29, "February") == YearDay{2, 29});
  CHECK_FALSE(year_day(30, "February").has_value());
  CHECK_FALSE(year_day(0, "May").has_value());
  CHECK_FALSE(year_day(31, "June").has_value());
  CHECK_FALSE(year_day(4000000000U, "June").has_value());
  CHECK_FALSE(year_day(1, "Sept").has_value());
  CHECK_FALSE(year_day(1, "").has_value());
  CHECK(describe({5, 15}) == "15 May");
  CHECK(describe({0, 15}) == "-");
}

TEST_CASE("a season within one year") {
  const DaySet days = season({5, 15}, {6, 30});
  CHECK_FALSE(days.contains(day("2027-05-14")));
  CHECK(days.contains(day("2027-05-15")));
  CHECK(days.contains(day("2027-06-30")));
  CHECK_FALSE(days.contains(day("2027-07-01")));
  CHECK(days.size() == 230 * 47);
}

TEST_CASE("a season across New Year") {
  const DaySet days = season({11, 1}, {2, 15});
  CHECK(days.contains(day("2027-11-01")));
  CHECK(days.contains(day("2027-12-31")));
  CHECK(days.contains(day("2028-01-01")));
  CHECK(days.contains(day("2028-02-15")));
  CHECK_FALSE(days.contains(day("2028-02-16")));
  CHECK_FALSE(days.contains(day("2027-10-31")));
  CHECK(days.contains(first_day));  // the tail of the winter before the calendar starts
  CHECK(days.contains(last_day));
}

TEST_CASE("a season that ends in the month in which it began runs across New Year") {
  const DaySet days = season({3, 20}, {3, 10});
  CHECK(days.contains(day("2027-03-20")));
  CHECK(days.contains(day("2027-06-01")));
  CHECK(days.contains(day("2028-03-10")));
  CHECK_FALSE(days.contains(day("2028-03-15")));
}

TEST_CASE("south of the equator a season moves by half a year") {
  const DaySet days = season({1, 15}, {3, 15}, true);
  CHECK(days == season({7, 15}, {9, 15}));
  CHECK(season({5, 15}, {8, 31}, true) == season({11, 15}, {2, 29}));
  CHECK(season({11, 1}, {2, 15}, true) == season({5, 1}, {8, 15}));
}

TEST_CASE("29 February stands for 28 February in common years") {
  const DaySet days = season({2, 29}, {2, 29});
  CHECK(days.contains(day("2028-02-29")));
  CHECK_FALSE(days.contains(day("2028-02-28")));
  CHECK(days.contains(day("2027-02-28")));
  CHECK(days.size() == 230);
  CHECK(season({3, 1}, {2, 29}) == DaySet::all());
}

TEST_CASE("a season and the rest of the year make up the calendar") {
  std::mt19937 random(9);
  for (int round = 0; round < 200; ++round) {
    // Whole months, so that the day after the end is the first of the next month.
    const unsigned first = random() % 12 + 1;
    const unsigned after = random() % 12 + 1;
    if (first == after) continue;
    const unsigned ends[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const unsigned last = (after + 10) % 12 + 1;
    const unsigned other_last = (first + 10) % 12 + 1;
    const bool south = random() % 2 == 0;
    DaySet in = season({first, 1}, {last, ends[last - 1]});
    const DaySet out = season({after, 1}, {other_last, ends[other_last - 1]});
    CHECK(in.size() + out.size() == DaySet::all().size());
    in |= out;
    CHECK(in == DaySet::all());
    // Moved by half a year twice, first days of months are back where they were.
    CHECK(season({first, 1}, {after, 1}, south) ==
          season({(first + 5) % 12 + 1, 1}, {(after + 5) % 12 + 1, 1}, !south));
  }
}
