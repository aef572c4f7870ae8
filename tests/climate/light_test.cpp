#include "climate/light.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "test_units.hpp"

using namespace budwood::climate;
using namespace budwood::climate::test;

namespace {
Lamp lamp(std::string_view name) {
  const auto found = find_lamp(name);
  REQUIRE(found);
  return *found;
}
}  // namespace

TEST_CASE("light sum") {
  // Faust, formula with example: 38.1 umol/m2/s for 12 h.
  CHECK(within(light_sum(38.1 * umol, 12 * hour), 1.6, 0.05));
  // Torres & Lopez, Purdue Extension HO-238-W: 0.0864 for each umol/m2/s of a whole day's average.
  CHECK(within(light_sum(1 * umol, 24 * hour), 0.0864, 0.00005));
  // Published grid of flux by hours, the same rule.
  CHECK(within(light_sum(300 * umol, 16 * hour), 17.28, 0.005));
  CHECK(within(light_sum(500 * umol, 12 * hour), 21.6, 0.05));
  CHECK(within(light_sum(1000 * umol, 12 * hour), 43.2, 0.05));
}

TEST_CASE("lux and photons, Thimijan & Heins 1983") {
  const auto umol_of = [](double lux, const char* name) {
    return photon_flux_from_lux(lux, lamp(name)) / umol;
  };
  CHECK(within(umol_of(108000, "sunlight"), 2000, 1e-9));
  CHECK(within(umol_of(8200, "high_pressure_sodium"), 100, 1e-9));
  CHECK(within(umol_of(7400, "cool_white_fluorescent"), 100, 1e-9));
  CHECK(within(umol_of(5200, "blue_sky"), 100, 1e-9));
  CHECK(within(umol_of(7100, "metal_halide"), 100, 1e-9));
  CHECK(within(umol_of(5000, "incandescent"), 100, 1e-9));
  // A widely copied table prints 40 800 lux for 200 umol/m2/s of sunlight.
  CHECK(within(umol_of(10800, "sunlight"), 200, 1e-9));
  CHECK_FALSE(within(umol_of(40800, "sunlight"), 200, 100));
  // Sharakshane 2018: 15 umol/m2/s per klx of a white diode.
  CHECK(within(photon_flux_from_lux(1000, lamp("white_led")) / umol, 15, 1e-9));
}

TEST_CASE("foot-candles are lux") {
  const Lamp sun = lamp("sunlight");
  // The paper prints the factor as 5.01, which is 54 / 10.76391 = 5.017 cut short: 10 020
  // foot-candles for 2000 umol/m2/s.
  CHECK(within(photon_flux_from_lux(10020 * foot_candle, sun) / umol / 2000, 1, 0.0015));
  // HO-238-W: 0.200 umol/m2/s a foot-candle of sunlight, 500 give 99.8.
  CHECK(within(photon_flux_from_lux(500 * foot_candle, sun) / umol, 99.8, 0.3));
  // Sodium lamps need 760 foot-candles for the same 100 umol/m2/s: 500 do not give it.
  const Lamp sodium = lamp("high_pressure_sodium");
  CHECK(within(photon_flux_from_lux(760 * foot_candle, sodium) / umol, 99.8, 0.3));
  CHECK_FALSE(within(photon_flux_from_lux(500 * foot_candle, sodium) / umol, 99.8, 30));
  // Oda 1995: grafts are cured at 3 to 5 klx, with sunlight 56 to 93 umol/m2/s.
  CHECK(within(photon_flux_from_lux(3000, sun) / umol, 55.6, 1));
  CHECK(within(photon_flux_from_lux(5000, sun) / umol, 92.6, 1));
}

TEST_CASE("watts and photons, Thimijan & Heins 1983") {
  CHECK(within(photon_flux_from_watts(100, lamp("sunlight")) / umol, 457, 1e-9));
  CHECK(within(photon_flux_from_watts(100, lamp("high_pressure_sodium")) / umol, 498, 1e-9));
}

TEST_CASE("light that cannot be") {
  const Lamp sun = lamp("sunlight");
  CHECK_FALSE(find_lamp("lamp"));
  CHECK_FALSE(find_lamp(""));
  CHECK(std::isnan(light_sum(-1 * umol, hour)));
  CHECK(std::isnan(light_sum(1 * umol, -hour)));
  CHECK(std::isnan(photon_flux_from_lux(-1, sun)));
  CHECK(std::isnan(photon_flux_from_lux(std::numeric_limits<double>::infinity(), sun)));
  CHECK(std::isnan(photon_flux_from_watts(20, lamp("white_led"))));  // not published
}
