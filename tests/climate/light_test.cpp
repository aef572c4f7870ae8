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

TEST_CASE("lamp hours, HO-238-W turned round") {
  const auto time = lamp_time(12, 5, 100 * umol);
  REQUIRE(time);
  CHECK(within(time->duration / hour, 19.44, 0.01));
  CHECK(time->fits_in_a_day);
  const auto too_weak = lamp_time(17, 5, 90 * umol);
  REQUIRE(too_weak);
  CHECK(within(too_weak->duration / hour, 37.04, 0.01));
  CHECK_FALSE(too_weak->fits_in_a_day);
  CHECK(lamp_time(5, 8, 0)->duration == 0);
  CHECK(lamp_time(8, 8, 0)->duration == 0);              // sun that just suffices needs no lamp
  CHECK(lamp_time(8.64, 0, 100 * umol)->fits_in_a_day);  // 24 h exactly
  CHECK_FALSE(lamp_time(8, 5, 0));
  CHECK_FALSE(lamp_time(-1, 5, 100 * umol));
}

TEST_CASE("lux and photons, Thimijan & Heins 1983") {
  const Lamp sun = lamp("sunlight");
  CHECK(within(lux_from_photon_flux(2000 * umol, sun), 108000, 1e-6));
  CHECK(within(lux_from_photon_flux(100 * umol, lamp("high_pressure_sodium")), 8200, 1e-6));
  CHECK(within(lux_from_photon_flux(100 * umol, lamp("cool_white_fluorescent")), 7400, 1e-6));
  CHECK(within(lux_from_photon_flux(100 * umol, lamp("blue_sky")), 5200, 1e-6));
  CHECK(within(lux_from_photon_flux(100 * umol, lamp("metal_halide")), 7100, 1e-6));
  CHECK(within(lux_from_photon_flux(100 * umol, lamp("incandescent")), 5000, 1e-6));
  // A widely copied table prints 40 800 lux for 200 umol/m2/s of sunlight.
  CHECK(within(lux_from_photon_flux(200 * umol, sun), 10800, 1e-6));
  CHECK_FALSE(within(lux_from_photon_flux(200 * umol, sun), 40800, 5000));
  // Sharakshane 2018: 15 umol/m2/s per klx of a white diode.
  CHECK(within(photon_flux_from_lux(1000, lamp("white_led")) / umol, 15, 1e-9));
}

TEST_CASE("foot-candles are lux") {
  const Lamp sun = lamp("sunlight");
  // The paper prints the factor as 5.01, which is 54 / 10.76391 = 5.017 cut short: 10 020
  // foot-candles for 2000 umol/m2/s.
  CHECK(within(lux_from_photon_flux(2000 * umol, sun) / foot_candle / 10020, 1, 0.0015));
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
  for (const Lamp& each : lamps()) {
    CAPTURE(each.name);
    CHECK(within(photon_flux_from_lux(lux_from_photon_flux(2e-4, each), each), 2e-4, 1e-15));
    if (std::isnan(each.umol_per_joule)) continue;
    CHECK(within(photon_flux_from_watts(watts_from_photon_flux(2e-4, each), each), 2e-4, 1e-15));
  }
}

TEST_CASE("light that cannot be") {
  const Lamp sun = lamp("sunlight");
  CHECK_FALSE(find_lamp("lamp"));
  CHECK_FALSE(find_lamp(""));
  CHECK(std::isnan(light_sum(-1 * umol, hour)));
  CHECK(std::isnan(light_sum(1 * umol, -hour)));
  CHECK(std::isnan(lux_from_photon_flux(-1, sun)));
  CHECK(std::isnan(photon_flux_from_lux(std::numeric_limits<double>::infinity(), sun)));
  CHECK(std::isnan(watts_from_photon_flux(1e-4, lamp("white_led"))));  // not published
}
