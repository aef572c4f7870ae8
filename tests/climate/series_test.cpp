#include "climate/series.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "test_units.hpp"

using namespace budwood::climate;
using namespace budwood::climate::test;
using budwood::calendar::Day;
using budwood::calendar::day_of;
using Kind = SeriesProblem::Kind;

namespace {
SeriesRow row(Day day, double minimum = 5, double maximum = 15) {
  return {day, {degC(minimum), degC(maximum)}};
}

std::array<DayTemperature, 12> normals_rising_by_month() {
  std::array<DayTemperature, 12> months;
  for (std::size_t m = 0; m < 12; ++m) {
    months[m] = {degC(static_cast<double>(m)), degC(static_cast<double>(m) + 10)};
  }
  return months;
}
}  // namespace

TEST_CASE("a series gives its days and nothing outside") {
  const std::vector<SeriesRow> rows = {row(100, 1, 11), row(101, 2, 12), row(102, 3, 13)};
  CHECK(check_series(rows).empty());
  const auto series = DailySeries::from_rows(rows);
  REQUIRE(series);
  CHECK(series->first_day() == 100);
  CHECK(series->last_day() == 102);
  CHECK(series->on(101) == rows[1].temperature);
  CHECK_FALSE(series->on(99));
  CHECK_FALSE(series->on(103));
}

TEST_CASE("every problem is found at its row") {
  const std::vector<SeriesRow> rows = {
      row(100),
      row(103),                                                     // 101 and 102 are missing
      row(103),                                                     // twice
      row(102),                                                     // comes late
      row(104, 15, 5),                                              // upside down
      row(105, 60, 85),                                             // degF taken for degC
      {106, {std::numeric_limits<double>::quiet_NaN(), degC(10)}},  // not a number
      row(-1),                                                      // before 1970
  };
  const std::vector<SeriesProblem> expected = {
      {Kind::gap, 1, 2},
      {Kind::duplicate, 2, 0},
      {Kind::out_of_order, 3, 0},
      {Kind::minimum_above_maximum, 4, 0},
      {Kind::implausible, 5, 0},
      {Kind::implausible, 6, 0},
      {Kind::outside_calendar, 7, 0},
  };
  CHECK(check_series(rows) == expected);
  CHECK_FALSE(DailySeries::from_rows(rows));
  CHECK_FALSE(DailySeries::from_rows({}));
}

TEST_CASE("monthly normals are straight lines between the middles of the months") {
  const auto normals = MonthlyNormals::from_months(normals_rising_by_month());
  REQUIRE(normals);
  // 16 January at noon is the middle of a month of 31 days, and 15 February of a leap year of one
  // of 29.
  CHECK(within(normals->on(*day_of({2027, 1, 16}))->minimum, degC(0), 1e-9));
  CHECK(within(normals->on(*day_of({2028, 2, 15}))->minimum, degC(1), 1e-9));
  // From 16 January noon to 15 February midnight (28 days) are 29.5 days.
  CHECK(within(normals->on(*day_of({2027, 2, 1}))->minimum, degC(16 / 29.5), 1e-9));
  // Across New Year: from 16 December noon to 16 January noon are 31 days, from 11 back to 0.
  CHECK(within(normals->on(*day_of({2027, 1, 1}))->minimum, degC(11 - 11 * 16.0 / 31), 1e-9));
  CHECK(within(normals->on(*day_of({2026, 12, 31}))->maximum, degC(21 - 11 * 15.0 / 31), 1e-9));
  CHECK_FALSE(normals->on(-1));
}

TEST_CASE("normals repeat every year and make a series") {
  const auto normals = MonthlyNormals::from_months(normals_rising_by_month());
  REQUIRE(normals);
  CHECK(normals->on(*day_of({2027, 6, 20})) == normals->on(*day_of({2031, 6, 20})));
  const Day first = *day_of({2027, 3, 1});
  const Day last = *day_of({2029, 3, 1});
  const auto series = normals->daily(first, last);
  REQUIRE(series);
  CHECK(series->first_day() == first);
  CHECK(series->last_day() == last);
  for (Day day = first; day <= last; day += 17) CHECK(series->on(day) == normals->on(day));
  CHECK_FALSE(normals->daily(last, first));
  CHECK_FALSE(normals->daily(-5, last));
}

TEST_CASE("normals that cannot be") {
  auto months = normals_rising_by_month();
  std::swap(months[7].minimum, months[7].maximum);
  CHECK_FALSE(MonthlyNormals::from_months(months));
  CHECK(check_temperature(months[7]) == Kind::minimum_above_maximum);
  months = normals_rising_by_month();
  months[3] = {3, 13};  // degC taken for kelvin
  CHECK_FALSE(MonthlyNormals::from_months(months));
  CHECK(check_temperature(months[3]) == Kind::implausible);
}
