#include "climate/heating.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "climate/thermal_time.hpp"

using namespace budwood::climate;

namespace {

constexpr double zero = 273.15;
constexpr double a_day = 86400;
constexpr double none = std::numeric_limits<double>::quiet_NaN();

}  // namespace

TEST_CASE("air that is warmer than outdoors all day is heated by the difference of the means") {
  const DayTemperature outdoors{zero - 2, zero + 6};
  CHECK(heating(zero + 18, zero + 18, outdoors) == doctest::Approx(16 * a_day));
  // 12 h at each.
  const double by_halves = heating(zero + 18, zero + 14, outdoors);
  CHECK(by_halves == doctest::Approx((16 + 12) / 2.0 * a_day));
}

TEST_CASE("only hours that are colder than the air are heated") {
  // Degree-days below a threshold of a sine between minimum and maximum: half of the swing over pi
  // at the mean (Baskerville & Emin 1969, Ecology 50:514-517): 8 / pi K for a swing of 8 K.
  const DayTemperature outdoors{zero + 2, zero + 18};
  CHECK(heating(zero + 10, zero + 10, outdoors) ==
        doctest::Approx(8 / 3.14159265 * a_day).epsilon(0.01));
  CHECK(heating(zero + 1, zero + 1, outdoors) == 0);
}

TEST_CASE("a half of the day that nobody wants warm is not heated") {
  const DayTemperature outdoors{zero, zero};
  CHECK(heating(none, zero + 10, outdoors) == doctest::Approx(10 * a_day / 2));
  CHECK(heating(none, none, outdoors) == 0);
}

TEST_CASE("a loss as it is worked out to size a heater") {
  // 2688 square feet of cover, U 0.70 Btu/h/ft2/F of two layers of film with air between them (ASAE
  // EP406), 50 degF warmer than outdoors: 94 080 Btu/h, 27.57 kW, in a published calculation.
  constexpr double btu_an_hour = 0.29307107;
  constexpr double square_foot = 0.09290304;
  const double loss = 0.70 * btu_an_hour / square_foot / (5 / 9.0) * 2688 * square_foot;
  const DayTemperature cold{zero - 10, zero - 10};
  const double kept = zero - 10 + 50 * 5 / 9.0;
  CHECK(loss * heating(kept, kept, cold) / a_day == doctest::Approx(27572).epsilon(1e-3));
}
