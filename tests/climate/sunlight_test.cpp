#include "climate/sunlight.hpp"

#include <doctest/doctest.h>

#include <limits>

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
  CHECK(most_light_sum(-20, 246) == doctest::Approx(32.2 * 0.375 * 4.57).epsilon(0.01));
  CHECK(most_light_sum(52, 355) < most_light_sum(52, 172) / 5);
  CHECK(most_light_sum(80, 355) == doctest::Approx(0));
}

TEST_CASE("radiation as FAO-56 works it out") {
  constexpr double mj = 1e6;
  // FAO Irrigation and Drainage Paper 56, chapter 3. Example 8: 32.2 MJ/m2 at 20 degrees south on 3
  // September (day 246). Example 9: 11.7 h of daylight there.
  CHECK(sky_radiation(-20, 246) / mj == doctest::Approx(32.2).epsilon(2e-3));
  CHECK(day_length(-20, 246) / 3600 == doctest::Approx(11.7).epsilon(5e-3));
  // Example 10: Rio de Janeiro, 22 degrees 54 minutes south, 15 May (day 135), 220 h of sunshine in
  // the month: 25.1 MJ/m2 on top of the air, 10.9 h of daylight, 14.5 MJ/m2; Eq. 37 gives 18.8
  // MJ/m2 for a clear day. The reference of the NCAR Command Language, radsol2_fao56, works out
  // 14.456 for it.
  const double rio = -22.9;
  CHECK(sky_radiation(rio, 135) / mj == doctest::Approx(25.1).epsilon(2e-3));
  CHECK(day_length(rio, 135) / 3600 == doctest::Approx(10.9).epsilon(5e-3));
  CHECK(radiation_by_sunshine(rio, 135, 220.0 / 31 * 3600) / mj ==
        doctest::Approx(14.456).epsilon(1e-3));
  CHECK(clear_radiation(rio, 135) / mj == doctest::Approx(18.8).epsilon(3e-3));
  // Never less than a quarter, never more than three: Eq. 35 with n = 0 and n = N.
  CHECK(radiation_by_sunshine(rio, 135, 0) == doctest::Approx(sky_radiation(rio, 135) / 4));
  CHECK(radiation_by_sunshine(rio, 135, 86400) == doctest::Approx(clear_radiation(rio, 135)));
  CHECK(radiation_by_sunshine(80, 355, 3600) == doctest::Approx(0));
}

TEST_CASE("day lengths by latitude") {
  // Sunrise on 1 January, solar time: 7:59 at 50 degrees north, 6:56 at 30, 3:55 at 50 degrees
  // south (L. Strous, Astronomy Answers, The Position of the Sun: Tables). The longest day at 10
  // degrees is 12 h 35 min (R. Fitzpatrick, Syntaxis of the Almagest, Table 4).
  const auto from_sunrise = [](double hour, double minute) {
    return 2 * (12 - hour - minute / 60);
  };
  CHECK(day_length(50, 1) / 3600 == doctest::Approx(from_sunrise(7, 59)).epsilon(0.01));
  CHECK(day_length(30, 1) / 3600 == doctest::Approx(from_sunrise(6, 56)).epsilon(0.01));
  CHECK(day_length(-50, 1) / 3600 == doctest::Approx(from_sunrise(3, 55)).epsilon(0.01));
  CHECK(day_length(10, 172) / 3600 == doctest::Approx(12 + 35 / 60.0).epsilon(0.005));
}

TEST_CASE("what a megajoule of the sun is in light for plants") {
  // 2.0 to 2.1 mol: 4.57 umol/J of light between 400 and 700 nm (McCree 1972, in Thimijan & Heins
  // 1983, HortScience 18:818-822), 45 % of the energy (Meek and others 1984).
  CHECK(light_of_radiation(1e6) > 2.0);
  CHECK(light_of_radiation(1e6) < 2.1);
}

TEST_CASE("what a site knows of the sun") {
  using budwood::calendar::parse_iso_date;
  Sky sky;
  const auto middle = *parse_iso_date("2027-01-16");
  CHECK_FALSE(sky.radiation(52, middle));
  sky.usual = Sky::Usual::share;
  sky.share = 0.4;
  CHECK(*sky.radiation(52, middle) == doctest::Approx(0.4 * clear_radiation(52, 16)));
  CHECK_FALSE(sky.radiation(std::nullopt, middle));
  sky.usual = Sky::Usual::sunshine;
  sky.months.fill(2 * 3600);
  CHECK(*sky.radiation(52, middle) == doctest::Approx(radiation_by_sunshine(52, 16, 7200)));
  sky.usual = Sky::Usual::radiation;
  sky.months.fill(3e6);
  CHECK(*sky.radiation(std::nullopt, middle) == doctest::Approx(3e6));
  sky.months[1] = 5e6;
  // The middle of January is noon of the 16th, that of February 29.5 days later.
  CHECK(*sky.radiation(std::nullopt, middle + 10) == doctest::Approx(3e6 + 2e6 * 10 / 29.5));
  sky.first = middle - 1;
  sky.measured = {7e6, std::numeric_limits<double>::quiet_NaN(), 1e6};
  CHECK(*sky.radiation(52, middle - 1) == doctest::Approx(7e6));
  CHECK(*sky.radiation(52, middle) == doctest::Approx(3e6));
  CHECK(*sky.radiation(52, middle + 1) == doctest::Approx(1e6));
}
