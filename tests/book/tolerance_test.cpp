#include <doctest/doctest.h>

#include "book/site/site.hpp"
#include "book_folder.hpp"
#include "language/model.hpp"

using namespace budwood::book;
using namespace budwood::book::test;
using budwood::language::Measure;

TEST_CASE("a room may say how its mist flows and how many climates it has") {
  const Site site = site_of(
      "rooms:\n"
      "  fog_tent: {mist_flow: 0.9 L/min, zones: 2, holds: 8 benches}\n"
      "  lath_house: {mist_flow: 54 L/h}\n"
      "  yard: {}\n");
  // 0.9 L in 60 s are 15 mL in one.
  CHECK(site.rooms.at("fog_tent").mist_flow->value == doctest::Approx(15e-6));
  CHECK(site.rooms.at("fog_tent").zones == 2);
  CHECK(site.rooms.at("fog_tent").holds->quantity.value == 8);
  CHECK(site.rooms.at("lath_house").mist_flow->value == doctest::Approx(15e-6));
  CHECK(site.rooms.at("lath_house").zones == 1);
  CHECK_FALSE(site.rooms.at("yard").mist_flow.has_value());
}

TEST_CASE("tolerances are differences, of a room or of the site") {
  const Site site = site_of(
      "rooms:\n"
      "  fog_tent: {tolerance: {air: 3 degC, root_zone: 1.5 degC_difference, leaf: 9 degF,\n"
      "                         humidity: 8 %, mist_time: 2 min, co2: 150 ppm}}\n"
      "tolerance: {humidity: 0.04, vpd: 0.3 kPa, light: 0 umol/m2/s, photoperiod: 30 min}\n");
  const Tolerances& room = site.rooms.at("fog_tent").tolerance;
  CHECK(room.size() == 6);
  CHECK(room.at(Measure::air).value == 3);
  CHECK(room.at(Measure::root_zone).value == 1.5);
  CHECK(room.at(Measure::leaf).value == doctest::Approx(5));  // 9 degF are 5 degC apart
  CHECK(room.at(Measure::humidity).value == doctest::Approx(0.08));
  CHECK(room.at(Measure::mist_time).value == 120);
  CHECK(room.at(Measure::co2).value == doctest::Approx(150e-6));
  CHECK(site.tolerance.at(Measure::humidity).value == doctest::Approx(0.04));
  CHECK(site.tolerance.at(Measure::vpd).value == doctest::Approx(300));
  CHECK(site.tolerance.at(Measure::light).value == 0);
  CHECK(site.tolerance.at(Measure::photoperiod).value == 1800);
}

TEST_CASE("every mistake in flows, zones and tolerances is named at its place") {
  struct Mistake {
    const char* lines;
    const char* problem;
  };
  const Mistake mistakes[] = {
      {"rooms: {a: {mist_flow: 0.9 L}}\n",
       "site.yaml:2:24 error wrong-value `mist_flow` wants a volume for a time, such as `0.9 "
       "L/min`."},
      {"rooms: {a: {mist_flow: 0.9}}\n",
       "site.yaml:2:24 error wrong-value `mist_flow` wants a volume for a time, such as `0.9 "
       "L/min`."},
      {"rooms: {a: {mist_flow: 0 L/min}}\n",
       "site.yaml:2:24 error out-of-range `mist_flow` has to be more than 0. Remove the line if it "
       "is not known."},
      {"rooms: {a: {zones: 0}}\n",
       "site.yaml:2:20 error out-of-range `zones` can be from 1 to 1000."},
      {"rooms: {a: {zones: 1.5}}\n",
       "site.yaml:2:20 error wrong-value `zones` wants a whole number, such as `2`."},
      {"rooms: {a: {tolerance: 3 degC}}\n",
       "site.yaml:2:24 error wrong-kind Lines of the form `key: value` belong here. The keys are "
       "air, leaf, root_zone, humidity, vpd, light, photoperiod, shade, co2, irrigation, "
       "light_sum, night_break and "
       "mist_time."},
      {"tolerance: {humidty: 8 %}\n",
       "site.yaml:2:13 error unknown-key `humidty` is not a key of `tolerance`. Did you mean "
       "`humidity`?"},
      {"tolerance: {dew_point: 2 degC}\n",
       "site.yaml:2:13 error unknown-key `dew_point` is not a key of `tolerance`. The keys are "
       "air, "
       "leaf, root_zone, humidity, vpd, light, photoperiod, shade, co2, irrigation, "
       "light_sum, night_break and mist_time."},
      {"tolerance: {air: 3 %}\n",
       "site.yaml:2:18 error wrong-value `air` wants a difference in degC, such as `2 degC`."},
      {"tolerance: {light: 3 lux}\n",
       "site.yaml:2:20 error wrong-value `light` wants a difference in umol/m2/s, such as `50 "
       "umol/m2/s`."},
      {"tolerance: {air: -3 degC}\n",
       "site.yaml:2:18 error out-of-range `air` can be from 0 to 100 degC."},
      {"tolerance: {humidity: 8}\n",
       "site.yaml:2:23 error out-of-range `humidity` can be from 0 to 100 %. Write `8 %`."},
      {"tolerance: {air: 3 degX}\n",
       "site.yaml:2:18 error unknown-unit `degX` is not a known unit. Did you mean `degC`?"},
      {"tolerance: {air: }\n",
       "site.yaml:2:13 error no-value `air` has no value. Write one after the colon, or remove the "
       "line."},
  };
  for (const Mistake& mistake : mistakes) {
    CAPTURE(std::string(mistake.lines));
    CHECK(joined(problems_of_site(std::string("site: N\n") + mistake.lines)) ==
          std::string(mistake.problem) + "\n");
  }
}

TEST_CASE("a mistake in one of these does not lose the room") {
  Outcome outcome;
  read("site: N\nrooms: {a: {mist_flow: 1 kg, zones: 0, tolerance: {air: 1 h, humidity: 9 %}}}\n",
       small_batches, outcome);
  CHECK(outcome.problems.size() == 3);
  const Room& room = outcome.book->site.rooms.at("a");
  CHECK_FALSE(room.mist_flow.has_value());
  CHECK(room.zones == 1);
  CHECK(room.tolerance.size() == 1);
}

TEST_CASE("a room says what it is set to without plants") {
  const Site site = site_of(
      "rooms:\n"
      "  tunnel: {stands: {air: 50 degF, humidity: 70 %, light: 100 umol/m2/s}}\n"
      "  yard: {}\n");
  const auto& stands = site.rooms.at("tunnel").stands;
  CHECK(stands.size() == 3);
  CHECK(stands.at(Measure::air).value == doctest::Approx(283.15));
  CHECK(stands.at(Measure::humidity).value == doctest::Approx(0.7));
  CHECK(site.rooms.at("yard").stands.empty());
  CHECK(joined(problems_of_site("site: N\nrooms: {yard: {stands: {air: 10 %}}}\n"))
            .starts_with("site.yaml:2:30 error wrong-value "));
  CHECK(joined(problems_of_site("site: N\nrooms: {yard: {stands: {air: 90 degC}}}\n"))
            .starts_with("site.yaml:2:30 error out-of-range "));
}
