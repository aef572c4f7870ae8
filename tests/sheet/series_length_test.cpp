#include "sheet/dates/series_length.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <random>

using namespace budwood::sheet;
namespace climate = budwood::climate;
namespace calendar = budwood::calendar;
using budwood::calendar::Day;

namespace {

climate::Accumulation sums_of(Day first, const std::vector<double>& amounts) {
  return climate::Accumulation::from_days(first, amounts).value();
}

/// The definition, start by start: the ends by start, nothing where they are not known.
std::vector<std::optional<Day>> ends_by_definition(const climate::Accumulation& sums, double target,
                                                   int at_least, std::optional<int> at_most) {
  std::vector<std::optional<Day>> ends;
  const Day after_last = sums.last_day() + 1;
  bool begun = false;
  bool over = false;
  std::optional<Day> latest;
  for (Day start = sums.first_day(); start < after_last; ++start) {
    std::optional<Day> end = sums.end_of(start, target);
    if (end && *end < start + at_least) end = start + at_least;
    if (end && at_most && *end > start + *at_most) end = start + *at_most;
    if (!end && at_most && start + *at_most <= after_last) end = start + *at_most;
    if (begun && !end) over = true;
    if (end) begun = true;
    if (end && latest) end = std::max(*end, *latest);
    ends.push_back(over ? std::nullopt : end);
    if (end) latest = end;
  }
  return ends;
}

/// The latest start by trying all.
std::optional<Day> latest_by_trying(const SeriesLength& length, Day end) {
  std::optional<Day> latest;
  for (Day start = length.first_start(); start <= length.last_start(); ++start) {
    if (*length.end_of(start) <= end) latest = start;
  }
  return latest;
}

}  // namespace

TEST_CASE("ten days of 9.5 degree-days make 95") {
  const auto length = SeriesLength::make(sums_of(100, std::vector<double>(50, 9.5)), 95, 0, {});
  REQUIRE(length);
  CHECK(length->end_of(100) == 110);
  CHECK(length->end_of(140) == 150);
  CHECK(length->latest_start(110) == 100);
  CHECK(length->latest_start(150) == 140);
}

TEST_CASE("a tenth of a hundred times is ten in spite of rounding") {
  const auto length = SeriesLength::make(sums_of(0, std::vector<double>(20000, 0.1)), 10, 0, {});
  REQUIRE(length);
  for (Day start = 0; start < 19900; start += 61) CHECK(length->end_of(start) == start + 100);
}

TEST_CASE("what starts in spring takes longer than what starts in summer") {
  // Two years of degree-days that swing between 0 and 20 with the warmest day in the middle of
  // July.
  std::vector<double> amounts;
  for (int day = 0; day < 730; ++day) {
    amounts.push_back(10 - 10 * std::cos(2 * std::numbers::pi * (day - 14) / 365));
  }
  const auto sums = sums_of(0, amounts);
  const auto length = SeriesLength::make(sums, 300, 0, {});
  REQUIRE(length);
  const auto days_from = [&](Day start) { return *length->end_of(start) - start; };
  CHECK(days_from(185) == 16);  // 20 a day, less a little on either side
  CHECK(days_from(60) > 2 * days_from(150));
  CHECK(days_from(330) > 90);  // over the winter
  for (Day start = 0; start < 600; ++start) {
    CHECK(length->end_of(start) == sums.end_of(start, 300));
  }
}

TEST_CASE("what the series does not reach is not known") {
  const auto length = SeriesLength::make(sums_of(10, std::vector<double>(20, 1)), 5, 0, {});
  REQUIRE(length);
  CHECK(length->first_start() == 10);
  CHECK(length->last_start() == 25);
  CHECK_FALSE(length->end_of(9));
  CHECK(length->end_of(25) == 30);
  CHECK_FALSE(length->end_of(26));
  CHECK_FALSE(length->latest_start(14));
  CHECK_FALSE(length->latest_start(calendar::first_day));
  CHECK(length->latest_start(15) == 10);
  CHECK(length->latest_start(31) == 25);
  CHECK(length->latest_start(calendar::last_day) == 25);
}

TEST_CASE("a stage lasts at least as long as it is told") {
  const auto length = SeriesLength::make(sums_of(0, std::vector<double>(20, 1)), 5, 8, {});
  REQUIRE(length);
  CHECK(length->end_of(0) == 8);
  // Reached on the last known day, so how long it takes is known although it goes on after it.
  CHECK(length->end_of(15) == 23);
  CHECK_FALSE(length->end_of(16));
}

TEST_CASE("a grower gives up waiting") {
  std::vector<double> amounts(40, 1);
  for (std::size_t i = 10; i < 40; ++i) amounts[i] = 0;  // winter
  const auto sums = sums_of(0, amounts);
  const auto length = SeriesLength::make(sums, 5, 2, 12);
  REQUIRE(length);
  CHECK(length->end_of(0) == 5);
  CHECK(length->end_of(5) == 10);
  CHECK(length->end_of(6) == 18);
  CHECK(length->end_of(28) == 40);
  CHECK_FALSE(length->end_of(29));
  CHECK(length->latest_start(17) == 5);
  const auto unlimited = SeriesLength::make(sums, 5, 2, {});
  REQUIRE(unlimited);
  CHECK_FALSE(unlimited->end_of(6));
  const auto patient = SeriesLength::make(sums, 5, 2, std::numeric_limits<int>::max());
  REQUIRE(patient);
  CHECK(patient->end_of(5) == 10);
  CHECK_FALSE(patient->end_of(6));
}

TEST_CASE("warm days that take units away put an earlier end off") {
  // What days 1 and 2 take away has to be made good from day 1, but not from day 3 on.
  const auto sums = sums_of(0, {1, -2, -2, 1, 1, 1, 1, 1, 1, 1, 1});
  const auto length = SeriesLength::make(sums, 3, 0, {});
  REQUIRE(length);
  CHECK(length->end_of(0) == 9);
  CHECK(length->end_of(1) == 10);
  CHECK(sums.end_of(3, 3) == 6);
  CHECK(length->end_of(3) == 10);
  CHECK(length->end_of(7) == 10);
  CHECK(length->end_of(8) == 11);
  CHECK_FALSE(length->end_of(9));
  CHECK(length->latest_start(9) == 0);
  CHECK(length->latest_start(10) == 7);
}

TEST_CASE("only the first unbroken run of starts is known") {
  // Day 0 never gets there, days 1 and 2 do, day 3 does not, day 6 would again.
  const auto sums = sums_of(50, {-9, 1, 1, 1, -9, -1, 1, 1});
  const auto length = SeriesLength::make(sums, 2, 0, {});
  REQUIRE(length);
  CHECK_FALSE(length->end_of(50));
  CHECK(length->end_of(51) == 53);
  CHECK(length->end_of(52) == 54);
  CHECK_FALSE(length->end_of(53));
  CHECK(sums.end_of(56, 2) == 58);
  CHECK_FALSE(length->end_of(56));
  CHECK(length->latest_start(60) == 52);
}

TEST_CASE("what makes no length is refused") {
  const auto sums = sums_of(0, {1, 1, 1});
  CHECK(SeriesLength::make(sums, 3, 0, {}));
  CHECK(SeriesLength::make(sums, 0, 0, {})->end_of(2) == 2);
  CHECK_FALSE(SeriesLength::make(sums, 4, 0, {}));
  CHECK_FALSE(SeriesLength::make(sums, 4, 0, 4));
  CHECK(SeriesLength::make(sums, 4, 0, 3)->end_of(0) == 3);
  CHECK_FALSE(SeriesLength::make(sums, 3, -1, {}));
  CHECK_FALSE(SeriesLength::make(sums, 3, 5, 4));
  CHECK_FALSE(SeriesLength::make(sums, 3, std::numeric_limits<int>::max(), {}));
  CHECK_FALSE(SeriesLength::make(sums, std::numeric_limits<double>::quiet_NaN(), 0, {}));
  CHECK_FALSE(SeriesLength::make(sums, std::numeric_limits<double>::infinity(), 0, {}));
}

TEST_CASE("random series keep the promises of a monotone length and the definition") {
  std::mt19937 random(20270510);
  int known = 0;
  for (int round = 0; round < 400; ++round) {
    std::vector<double> amounts(60);
    // Whole numbers; in every other round some below 0.
    std::uniform_int_distribution<int> amount(round % 2 == 0 ? 0 : -4, 6);
    for (double& a : amounts) a = amount(random);
    const auto sums = sums_of(300, amounts);
    const double target = std::uniform_int_distribution<int>(0, 60)(random);
    const int at_least = std::uniform_int_distribution<int>(0, 12)(random);
    std::optional<int> at_most;
    if (round % 3 != 0) at_most = at_least + std::uniform_int_distribution<int>(0, 30)(random);
    const auto ends = ends_by_definition(sums, target, at_least, at_most);
    const auto length = SeriesLength::make(sums, target, at_least, at_most);
    CAPTURE(round);
    std::optional<Day> before;
    for (Day start = 299; start <= 361; ++start) {
      const bool inside = start >= 300 && start < 360;
      const auto expected = inside ? ends[static_cast<std::size_t>(start - 300)] : std::nullopt;
      const auto end = length ? length->end_of(start) : std::nullopt;
      CHECK(end == expected);
      if (!end) continue;
      ++known;
      CHECK(*end >= start + at_least);
      if (before) CHECK(*end >= *before);
      before = end;
    }
    if (!length) continue;
    for (Day end = 290; end < 420; ++end) {
      CHECK(length->latest_start(end) == latest_by_trying(*length, end));
    }
  }
  CHECK(known > 8000);
}

TEST_CASE("a series over the whole calendar that never gets there is soon worked out") {
  // Each day takes away what the one before brought: looked at start by start this would be
  // thousands of millions of steps.
  std::vector<double> amounts(static_cast<std::size_t>(calendar::last_day) + 1);
  for (std::size_t i = 0; i < amounts.size(); ++i) amounts[i] = i % 2 == 0 ? 1 : -1;
  const auto sums = sums_of(calendar::first_day, amounts);
  CHECK_FALSE(SeriesLength::make(sums, 2, 0, {}));
  const auto length = SeriesLength::make(sums, 2, 0, 30);
  REQUIRE(length);
  CHECK(length->last_start() == calendar::last_day + 1 - 30);
}
