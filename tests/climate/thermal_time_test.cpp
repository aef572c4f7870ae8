#include "climate/thermal_time.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "test_units.hpp"

using namespace budwood::climate;
using namespace budwood::climate::test;
namespace {
double celsius_days(double minimum, double maximum, const HeatLimits& limits,
                    DegreeDayMethod method) {
  return thermal_time_of_day(degC(minimum), degC(maximum), limits, method) / degree_day;
}

double fahrenheit_days(double minimum, double maximum, double base, DegreeDayMethod method) {
  return thermal_time_of_day(degF(minimum), degF(maximum), {degF(base), {}}, method) / degree_day_F;
}

/// The mean of the clipped sine curve, by adding up many moments of the day.
double sine_by_steps(double minimum, double maximum, const HeatLimits& limits) {
  constexpr int steps = 200000;
  double sum = 0;
  for (int i = 0; i < steps; ++i) {
    const double angle = 2 * std::numbers::pi * (i + 0.5) / steps;
    const double t = (minimum + maximum) / 2 + (maximum - minimum) / 2 * std::sin(angle);
    sum += effective_heat(t, limits);
  }
  return sum / steps;
}
}  // namespace

TEST_CASE("averaging, McMaster & Wilhelm 1997, methods 1 and 2") {
  const HeatLimits above_10{degC(10), {}};
  CHECK(within(celsius_days(4, 20, above_10, DegreeDayMethod::average_limited_after), 2.0, 0.001));
  CHECK(within(celsius_days(4, 20, above_10, DegreeDayMethod::average_limited_each), 5.0, 0.001));
  // DegreeDayMethod 1 sees no heat at all on this day.
  CHECK(within(celsius_days(4, 12, above_10, DegreeDayMethod::average_limited_after), 0.0, 0.001));
  CHECK(within(celsius_days(4, 12, above_10, DegreeDayMethod::average_limited_each), 1.0, 0.001));
  // With an upper limit the order of the two turns round.
  const HeatLimits to_30{degC(10), degC(30)};
  CHECK(within(celsius_days(8, 35, to_30, DegreeDayMethod::average_limited_after), 11.5, 0.001));
  CHECK(within(celsius_days(8, 35, to_30, DegreeDayMethod::average_limited_each), 10.0, 0.001));
}

TEST_CASE("an average of 64 degF above 53 degF is 11 degree-days F") {
  // University of California Statewide IPM, citrus red scale.
  for (const DegreeDayMethod method : degree_day_methods) {
    CHECK(within(fahrenheit_days(64, 64, 53, method), 11, 1e-9));
  }
}

TEST_CASE("four answers for one day") {
  // Single sine: Baskerville & Emin 1969, Ecology 50:514-517. Quarter rule: Met Eireann.
  CHECK(within(fahrenheit_days(40, 70, 50, DegreeDayMethod::single_sine), 7.542, 0.005));
  CHECK(within(fahrenheit_days(40, 70, 50, DegreeDayMethod::quarter_rule), 7.5, 0.005));
  CHECK(within(fahrenheit_days(40, 70, 50, DegreeDayMethod::average_limited_after), 5.0, 0.005));
  CHECK(within(fahrenheit_days(40, 70, 50, DegreeDayMethod::average_limited_each), 10.0, 0.005));

  CHECK(within(fahrenheit_days(30, 60, 50, DegreeDayMethod::single_sine), 2.542, 0.005));
  CHECK(within(fahrenheit_days(30, 60, 50, DegreeDayMethod::quarter_rule), 2.5, 0.005));
  CHECK(within(fahrenheit_days(30, 60, 50, DegreeDayMethod::average_limited_after), 0.0, 0.005));
  // All agree once the minimum is above the base, and when the maximum is below it.
  for (const DegreeDayMethod method : degree_day_methods) {
    CHECK(within(fahrenheit_days(52, 80, 50, method), 16.0, 0.005));
    CHECK(fahrenheit_days(30, 49, 50, method) == 0);
  }
}

TEST_CASE("single sine is the area under the curve") {
  for (double minimum = -5; minimum <= 35; minimum += 5) {
    for (double range = 0; range <= 30; range += 7.5) {
      for (const HeatLimits& limits : {HeatLimits{degC(10), {}}, HeatLimits{degC(10), degC(28)}}) {
        CAPTURE(minimum);
        CAPTURE(range);
        CHECK(within(celsius_days(minimum, minimum + range, limits, DegreeDayMethod::single_sine),
                     sine_by_steps(degC(minimum), degC(minimum + range), limits), 1e-6));
      }
    }
  }
}

TEST_CASE("warmer days never bring less and a threshold never brings more") {
  for (const DegreeDayMethod method : degree_day_methods) {
    double before = 0;
    for (double shift = -20; shift <= 40; shift += 0.5) {
      const double open = celsius_days(5 + shift, 17 + shift, {degC(10), {}}, method);
      const double capped = celsius_days(5 + shift, 17 + shift, {degC(10), degC(25)}, method);
      CHECK(capped <= open + 1e-9);
      CHECK(capped >= before - 1e-9);
      CHECK(capped <= 15 + 1e-9);
      before = capped;
    }
  }
}

TEST_CASE("constant temperature") {
  // Brewster 2008, Onions and Other Vegetable Alliums, Eqns 4.6-4.7: 80 degree-days above 2.5 degC
  // take four days at 22.5 degC.
  for (const DegreeDayMethod method : degree_day_methods) {
    CHECK(within(4 * celsius_days(22.5, 22.5, {degC(2.5), {}}, method), 80, 1e-9));
    // Above the upper threshold nothing is gained; a room at or below the base never gets there.
    CHECK(within(4 * celsius_days(40, 40, {degC(2.5), degC(22.5)}, method), 80, 1e-9));
    CHECK(celsius_days(2.5, 2.5, {degC(2.5), {}}, method) == 0);
    CHECK(celsius_days(1, 1, {degC(2.5), {}}, method) == 0);
  }
}

TEST_CASE("heat that cannot be") {
  const HeatLimits limits{degC(10), {}};
  for (const DegreeDayMethod method : degree_day_methods) {
    CHECK(std::isnan(celsius_days(20, 10, limits, method)));
    CHECK(std::isnan(thermal_time_of_day(-5, degC(10), limits, method)));
    CHECK(std::isnan(celsius_days(10, 20, {degC(10), degC(10)}, method)));
    CHECK(std::isnan(celsius_days(10, std::numeric_limits<double>::infinity(), limits, method)));
  }
  CHECK(std::isnan(effective_heat(degC(20), {0, {}})));
}

TEST_CASE("methods have names") {
  for (const DegreeDayMethod method : degree_day_methods) {
    CHECK(find_degree_day_method(name_of(method)) == method);
  }
  CHECK_FALSE(find_degree_day_method("sine"));
}
