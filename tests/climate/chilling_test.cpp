#include "climate/chilling.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "test_units.hpp"

using namespace budwood::climate;
using namespace budwood::climate::test;
namespace {
std::vector<double> hours_in_degF(const std::vector<double>& degrees) {
  std::vector<double> kelvin;
  for (const double d : degrees) kelvin.push_back(degF(d));
  return kelvin;
}

constexpr ChillRule from_32_to_45{ChillMethod::hours_between, degF(32), degF(45)};
constexpr ChillRule below_45{ChillMethod::hours_below, 0, degF(45)};
}  // namespace

TEST_CASE("Utah units of an hour") {
  // Richardson, Seeley & Walker 1974, HortScience 9:331-332.
  const double edges[] = {34, 36, 48, 54, 60, 65};
  const double units[] = {0, 0.5, 1, 0.5, 0, -0.5, -1};
  for (std::size_t band = 0; band < 6; ++band) {
    CAPTURE(edges[band]);
    CHECK(utah_units(degF(edges[band])) == units[band]);
    CHECK(utah_units(degF(edges[band] + 0.01)) == units[band + 1]);
  }
  CHECK(utah_units(degF(10)) == 0);
  CHECK(utah_units(degF(100)) == -1);
}

TEST_CASE("twelve hours") {
  // Recomputed from the rule of Richardson et al. 1974.
  const auto hours = hours_in_degF({33, 35, 37, 45, 48, 50, 54, 55, 60, 61, 65, 70});
  CHECK(chilling(hours, {ChillMethod::utah, 0, 0}) == 2.5);
  CHECK(chilling(hours, from_32_to_45) == 4);
  CHECK(chilling(hours, below_45) == 3);
}

TEST_CASE("a day with a warm afternoon") {
  // Recomputed; the positive-only count after Linsley-Noakes et al. 1995.
  const auto hours = hours_in_degF({50, 48, 46, 45, 44, 43, 42, 45, 50, 55, 60, 64,
                                    66, 68, 69, 68, 66, 62, 58, 55, 53, 52, 51, 50});
  CHECK(chilling(hours, {ChillMethod::utah, 0, 0}) == 4.0);
  CHECK(chilling(hours, {ChillMethod::utah_positive_hours, 0, 0}) == 10.0);
  CHECK(chilling(hours, {ChillMethod::utah_positive_days, 0, 0}) == 4.0);
  CHECK(chilling(hours, from_32_to_45) == 5);
}

TEST_CASE("a warm day counts nothing when only positive days count") {
  std::vector<double> two_days(24, degF(70));
  two_days.insert(two_days.end(), 24, degF(45));
  CHECK(chilling(two_days, {ChillMethod::utah, 0, 0}) == 0);
  CHECK(chilling(two_days, {ChillMethod::utah_positive_days, 0, 0}) == 24);
}

TEST_CASE("45 degF is not below 7.2 degC, and is on its own limit in either scale") {
  CHECK(within(to_degC(degF(45)), 7.2222, 0.0001));
  const std::vector<double> hour_at_45{degF(45)};
  CHECK(chilling(hour_at_45, {ChillMethod::hours_below, 0, degC(7.2)}) == 0);
  CHECK(chilling(hour_at_45, {ChillMethod::hours_below, 0, degC(65.0 / 9)}) == 0);
  CHECK(chilling(hour_at_45, {ChillMethod::hours_between, degC(0), degC(65.0 / 9)}) == 1);
  CHECK(chilling(hour_at_45, {ChillMethod::hours_below, 0, degC(7.3)}) == 1);
}

TEST_CASE("hours of a day from its extremes") {
  const auto hours = hourly_temperatures(degC(2), degC(14));
  CHECK(within(hours[4], degC(2), 1e-9));
  CHECK(within(hours[16], degC(14), 1e-9));
  CHECK(within(hours[10], degC(8), 1e-9));
  CHECK(*std::min_element(hours.begin(), hours.end()) == hours[4]);
  CHECK(*std::max_element(hours.begin(), hours.end()) == hours[16]);
  // A day that stays at 5 degC brings 24 of everything.
  CHECK(chilling_of_day(degC(5), degC(5), {ChillMethod::utah, 0, 0}) == 24);
  CHECK(chilling_of_day(degC(5), degC(5), {ChillMethod::hours_below, 0, degC(7)}) == 24);
  CHECK(chilling_of_day(degC(-3), degC(1), from_32_to_45) <
        chilling_of_day(degC(-1), degC(3), from_32_to_45));
}

TEST_CASE("chilling that cannot be") {
  CHECK(std::isnan(chilling_of_day(degC(10), degC(5), {ChillMethod::utah, 0, 0})));
  CHECK(std::isnan(chilling(std::vector<double>{-1}, {ChillMethod::utah, 0, 0})));
  CHECK(std::isnan(
      chilling_of_day(degC(2), degC(9), {ChillMethod::hours_between, degC(7), degC(0)})));
  CHECK(std::isnan(chilling_of_day(degC(2), degC(9), {ChillMethod::hours_below, 0, -7})));
  CHECK(std::isnan(utah_units(0)));
  CHECK(chilling({}, {ChillMethod::utah, 0, 0}) == 0);
}

TEST_CASE("chill methods have names") {
  for (const ChillMethod method : chill_methods)
    CHECK(find_chill_method(name_of(method)) == method);
  CHECK_FALSE(find_chill_method("cold"));
}
