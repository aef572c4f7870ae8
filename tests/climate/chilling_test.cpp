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

// Wang & Engel 1998, Agric. Syst. 58:1-24, recomputed from the rule in another program; the
// temperatures of wheat after Porter & Gawith 1999, of lily after Streck, all of them from memory.
TEST_CASE("how much of a day vernalises") {
  const ChillRule wheat{ChillMethod::vernal_hours, degC(-1.3), degC(15.7), degC(4.9)};
  const ChillRule lily{ChillMethod::vernal_hours, degC(0), degC(21), degC(5)};
  struct Row {
    double at, wheat, lily;
  };
  for (const Row& row : {Row{-0.5, 0.42973, 0}, Row{2, 0.87632, 0.87211}, Row{4, 0.98956, 0.98956},
                         Row{9, 0.82579, 0.89222}, Row{12, 0.52449, 0.72300}}) {
    CAPTURE(row.at);
    CHECK(within(vernalisation(degC(row.at), wheat), row.wheat, 1e-5));
    CHECK(within(vernalisation(degC(row.at), lily), row.lily, 1e-5));
  }
  // What the rule says of its ends and its middle.
  CHECK(vernalisation(degC(4.9), wheat) == doctest::Approx(1));
  for (const double outside : {-10.0, -1.3, 15.7, 30.0}) {
    CHECK(vernalisation(degC(outside), wheat) == 0);
  }
  CHECK(within(vernalisation(degC(15.6999), wheat), 0, 1e-4));
  CHECK(chilling_of_day(degC(5), degC(5), lily) == doctest::Approx(24));
  CHECK(
      std::isnan(vernalisation(degC(5), {ChillMethod::vernal_hours, degC(5), degC(21), degC(5)})));
  CHECK(std::isnan(vernalisation(degC(5), {ChillMethod::vernal_hours, degC(0), degC(5), degC(5)})));
}

TEST_CASE("a day of two halves") {
  const ChillRule utah{ChillMethod::utah, 0, 0};
  CHECK(chilling_of_halves(degC(5), degC(5), utah) == 24);
  // 1.5 degC is 34.7 degF: half a unit (Richardson et al. 1974).
  CHECK(chilling_of_halves(degC(5), degC(1.5), utah) == 18);
  CHECK(chilling_of_halves(degC(5), degC(20), utah) == 0);
  CHECK(chilling_of_halves(degC(20), degC(20), {ChillMethod::utah_positive_days, 0, 0}) == 0);
  CHECK(std::isnan(chilling_of_halves(degC(5), -3, utah)));
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
