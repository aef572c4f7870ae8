#include "climate/accumulation.hpp"

#include <doctest/doctest.h>

#include <limits>
#include <random>

#include "test_units.hpp"

using namespace budwood::climate;
using namespace budwood::climate::test;
using budwood::calendar::Day;

namespace {
/// The definition, day by day, with the slack that the class promises.
std::optional<Day> end_by_counting(Day first, const std::vector<double>& amounts, Day start,
                                   double target) {
  double sum = 0;
  const Day after_last = first + static_cast<Day>(amounts.size());
  for (Day day = start; day <= after_last; ++day) {
    if (sum >= target - 1e-9 * target) return day;
    if (day < after_last) sum += amounts[static_cast<std::size_t>(day - first)];
  }
  return std::nullopt;
}
}  // namespace

TEST_CASE("a steady room takes target / heat days") {
  // Brewster 2008, Onions and Other Vegetable Alliums: 80 degree-days above 2.5 degC at 22.5 degC
  // take 4 days.
  std::vector<SeriesRow> rows;
  for (Day day = 50; day < 80; ++day) rows.push_back({day, {degC(22.5), degC(22.5)}});
  const auto heat = Accumulation::of_heat(*DailySeries::from_rows(rows), {degC(2.5), {}},
                                          DegreeDayMethod::single_sine);
  REQUIRE(heat);
  CHECK(heat->end_of(60, 80 * degree_day) == 64);
  CHECK(heat->latest_start(64, 80 * degree_day) == 60);
  CHECK(heat->end_of(60, 81 * degree_day) == 65);
  CHECK(within(*heat->total(60, 64) / degree_day, 80, 1e-9));
}

TEST_CASE("nothing begins after the last day of a series, however little is wanted") {
  const auto sums = Accumulation::from_days(100, {1, 1});
  REQUIRE(sums);
  CHECK(sums->end_of(101, 0) == 101);
  CHECK_FALSE(sums->end_of(102, 0));
}

TEST_CASE("seventy sevenths make ten in spite of rounding") {
  const auto sums = Accumulation::from_days(0, std::vector<double>(40000, degree_day / 7));
  REQUIRE(sums);
  for (Day start = 0; start < 39000; start += 97) {
    CHECK(sums->end_of(start, 10 * degree_day) == start + 70);
    CHECK(sums->latest_start(start + 70, 10 * degree_day) == start);
  }
}

TEST_CASE("a sum that was added up is reached on the day on which it is reached on paper") {
  const auto sums = Accumulation::from_days(0, {0.15, 0.15, 0.15, 0.15});
  REQUIRE(sums);
  REQUIRE(0.1 + 0.2 > 2 * 0.15);
  CHECK(sums->end_of(0, 0.1 + 0.2) == 2);
  CHECK(sums->latest_start(2, 0.1 + 0.2) == 0);
}

TEST_CASE("searches agree with counting day by day") {
  std::mt19937 random(20270314);
  for (int round = 0; round < 200; ++round) {
    std::vector<double> amounts(60);
    // Whole numbers, some of them 0 and in every other round some below 0.
    std::uniform_int_distribution<int> amount(round % 2 == 0 ? 0 : -3, 6);
    for (double& a : amounts) a = amount(random);
    const Day first = 200;
    const auto sums = Accumulation::from_days(first, amounts);
    REQUIRE(sums);
    if (round % 2 == 0) CHECK(sums->is_monotone());
    const double target = std::uniform_int_distribution<int>(0, 90)(random);
    for (Day start = first; start < first + 60; ++start) {
      CHECK(sums->end_of(start, target) == end_by_counting(first, amounts, start, target));
    }
    for (Day end = first; end <= first + 60; ++end) {
      std::optional<Day> latest;
      for (Day start = first; start <= end; ++start) {
        if (*sums->total(start, end) >= target) latest = start;
      }
      CHECK(sums->latest_start(end, target) == latest);
    }
  }
}

TEST_CASE("a later start never gives an earlier end when nothing is taken away") {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> amount(0, 12);
  std::vector<double> amounts(400);
  for (double& a : amounts) a = amount(random);
  const auto sums = Accumulation::from_days(0, amounts);
  REQUIRE(sums);
  Day before = 0;
  for (Day start = 0; start < 350; ++start) {
    const auto end = sums->end_of(start, 100);
    REQUIRE(end);
    CHECK(*end >= before);
    CHECK(*sums->latest_start(*end, 100) >= start);
    before = *end;
  }
}

TEST_CASE("what is not known is not guessed") {
  const auto sums = Accumulation::from_days(10, {1, 2, 3});
  REQUIRE(sums);
  CHECK(sums->first_day() == 10);
  CHECK(sums->last_day() == 12);
  CHECK(sums->total(10, 13) == 6);
  CHECK(sums->total(11, 11) == 0);
  CHECK_FALSE(sums->total(12, 11));
  CHECK_FALSE(sums->total(9, 11));
  CHECK_FALSE(sums->total(10, 14));
  CHECK(sums->end_of(10, 6) == 13);
  CHECK(sums->end_of(10, 0) == 10);
  CHECK_FALSE(sums->end_of(10, 7));
  CHECK_FALSE(sums->end_of(9, 1));
  CHECK_FALSE(sums->end_of(13, 1));
  CHECK(sums->latest_start(13, 4) == 11);
  CHECK_FALSE(sums->latest_start(13, 7));
  CHECK_FALSE(sums->latest_start(14, 1));
  CHECK_FALSE(sums->end_of(10, std::numeric_limits<double>::quiet_NaN()));
  CHECK_FALSE(Accumulation::from_days(10, {}));
  CHECK_FALSE(Accumulation::from_days(-1, {1}));
  CHECK_FALSE(Accumulation::from_days(84005, {1, 1}));
  CHECK_FALSE(Accumulation::from_days(10, {1, std::numeric_limits<double>::infinity()}));
}

TEST_CASE("chilling over a series") {
  std::vector<SeriesRow> rows;
  for (Day day = 0; day < 30; ++day) rows.push_back({day, {degC(5), degC(5)}});
  for (Day day = 30; day < 33; ++day) rows.push_back({day, {degC(25), degC(25)}});
  const auto series = DailySeries::from_rows(rows);
  REQUIRE(series);
  const auto hours = Accumulation::of_chilling(*series, {ChillMethod::hours_below, 0, degC(7)});
  const auto utah = Accumulation::of_chilling(*series, {ChillMethod::utah, 0, 0});
  REQUIRE(hours);
  REQUIRE(utah);
  CHECK(hours->end_of(0, 240) == 10);
  CHECK(hours->is_monotone());
  CHECK_FALSE(utah->is_monotone());
  CHECK(utah->total(0, 33) == 30 * 24 - 3 * 24);
  CHECK_FALSE(Accumulation::of_chilling(*series, {ChillMethod::hours_below, 0, -1}));
}
