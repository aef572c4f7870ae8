#include "climate/sunlight.hpp"

#include <doctest/doctest.h>

using namespace budwood::climate;

TEST_CASE("how long the sun is up") {
  // 11.66559 h at 20 degrees south on day 246: FAO-56, Eq. 34, as worked out in the reference of
  // the NCAR Command Language, daylight_fao56.
  CHECK(day_length(-20, 246) / 3600 == doctest::Approx(11.66559).epsilon(1e-4));
  CHECK(day_length(0, 80) / 3600 == doctest::Approx(12));
  CHECK(day_length(80, 355) == 0);
  CHECK(day_length(80, 172) == doctest::Approx(86400));
}

TEST_CASE("what light a clear day brings outdoors") {
  // FAO-56, Eq. 21, with the values of its example for day 246 at 20 degrees south (inverse
  // distance 0.985, sunset 1.527, latitude -0.35, declination 0.12): 32.2 MJ/m2. Of that 0.75 x 0.5
  // are 12.1 MJ/m2, and 4.57 mol/MJ in sunlight (Thimijan & Heins 1983) make 55 mol/m2.
  CHECK(clear_light_sum(-20, 246) == doctest::Approx(32.2 * 0.375 * 4.57).epsilon(0.01));
  CHECK(clear_light_sum(52, 355) < clear_light_sum(52, 172) / 5);
  CHECK(clear_light_sum(80, 355) == doctest::Approx(0));
}
