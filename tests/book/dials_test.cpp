#include <doctest/doctest.h>

#include "book/site/site.hpp"
#include "book_folder.hpp"
#include "language/model.hpp"

using namespace budwood::book;
using namespace budwood::book::test;
using budwood::calendar::Weekday;
using budwood::language::Measure;

TEST_CASE("dials have steps, timers may have a list, a room its own") {
  const Site site = site_of(
      "steps: {mist: [10 s, 5 min], humidity: 5 %, air: 1 degC, irrigation: 0.5 L/m2/day}\n"
      "rooms:\n"
      "  tent: {steps: {mist: [10, 15, 20, 30, 45, 60, 90, 120 min], air: 0.5 degC}}\n"
      "  frame: {steps: {mist: [5 s, [10, 20, 40 min]]}}\n");
  CHECK(site.pulse_dial_in("yard")->step == 10);
  CHECK(site.interval_dial_in("yard")->step == 5);
  CHECK(site.interval_dial_in("yard")->unit.symbol == "min");
  CHECK(site.dial_in("yard", Measure::humidity)->step == 5);
  CHECK(site.dial_in("yard", Measure::light) == nullptr);
  CHECK(site.dial_in("tent", Measure::air)->step == 0.5);
  CHECK(site.dial_in("tent", Measure::humidity)->step == 5);
  CHECK(site.pulse_dial_in("tent")->step == 10);
  CHECK(site.interval_dial_in("tent")->values ==
        std::vector<double>{10, 15, 20, 30, 45, 60, 90, 120});
  CHECK(site.pulse_dial_in("frame")->step == 5);
  CHECK(site.interval_dial_in("frame")->values == std::vector<double>{10, 20, 40});
}

TEST_CASE("a list may stand on one line, in any order and in several units") {
  const Site site = site_of("steps:\n  mist: 2 h, 10 min, 30 min\n  humidity: 60, 75, 90 %\n");
  CHECK(site.interval_dial_in("any")->values == std::vector<double>{10, 30, 120});
  CHECK(site.dial_in("any", Measure::humidity)->values == std::vector<double>{60, 75, 90});
}

TEST_CASE("a room says what it can do, what changes by itself, and what its zones are called") {
  const Site site = site_of(
      "rooms:\n"
      "  house: {can: [heats, bottom heat, darkens, lights up to 150 umol/m2/s], by_timer: [mist, "
      "light],\n"
      "          zones: [left, right]}\n"
      "  tunnel: {can: none, by_timer: all}\n"
      "  yard: {}\n");
  const Room& house = site.rooms.at("house");
  CHECK(house.can->heats);
  CHECK(house.can->bottom_heat);
  CHECK(house.can->darkens);
  CHECK_FALSE(house.can->cools);
  CHECK_FALSE(house.can->mists);
  CHECK(house.can->light == doctest::Approx(150e-6));
  CHECK(house.by_timer.has("mist"));
  CHECK_FALSE(house.by_timer.has("air"));
  CHECK(house.zones == 2);
  CHECK(house.zone_names == std::vector<std::string>{"left", "right"});
  CHECK(site.rooms.at("tunnel").can->light == 0);
  CHECK(site.rooms.at("tunnel").by_timer.has("air"));
  CHECK_FALSE(site.rooms.at("yard").can.has_value());
}

TEST_CASE("a crew may have duty") {
  const Site site = site_of(
      "working: {days: [mon, tue, wed, thu, fri]}\n"
      "crews: {carers: {people: 3, hours: 6 h, duty: {days: [sat, sun], hours: 90 min,\n"
      "                                               who: one of three in turn}},\n"
      "        others: {people: 1, hours: 6 h, duty: {hours: 1 h}}}\n");
  const Duty& duty = *site.crews.at("carers").duty;
  CHECK(duty.hours.on(Weekday::saturday) == 5400);
  CHECK(duty.hours.on(Weekday::monday) == 0);
  CHECK(duty.who == "one of three in turn");
  CHECK(site.crews.at("others").duty->hours.on(Weekday::wednesday) == 3600);
  const auto day = [](const char* text) { return *budwood::calendar::parse_iso_date(text); };
  CHECK(site.crews.at("carers").person_seconds(day("2027-06-04"), site.working) == 3 * 6 * 3600);
  CHECK(site.crews.at("carers").person_seconds(day("2027-06-05"), site.working) == 5400);
}

TEST_CASE("every mistake in them is told at its place") {
  const struct {
    std::string site, told;
  } cases[] = {
      {"steps: {humidity: 5 degC}\n", "site.yaml:2:19 error wrong-value `humidity` wants a step"},
      {"steps: {humidity: 0 %}\n", "site.yaml:2:19 error wrong-value `humidity` wants a step"},
      {"steps: {mist: [10 s, often]}\n", "site.yaml:2:22 error wrong-value `mist` wants a step"},
      {"steps: {mist: {a: 1}}\n", "site.yaml:2:15 error wrong-value `mist` wants a step"},
      {"steps: {fog: 5 min}\n", "site.yaml:2:9 error unknown-key"},
      {"rooms: {a: {can: [heats, flies]}}\n", "site.yaml:2:26 error wrong-value `can` wants"},
      {"rooms: {a: {can: [lights up to 3 kg]}}\n", "site.yaml:2:19 error wrong-value `can` wants"},
      {"rooms: {a: {can: much}}\n", "site.yaml:2:18 error wrong-value `can` wants"},
      {"rooms: {a: {by_timer: [fog]}}\n", "site.yaml:2:24 error wrong-value `by_timer` wants"},
      {"rooms: {a: {zones: [left, left]}}\n", "site.yaml:2:27 error repeated-value"},
      {"rooms: {a: {zones: []}}\n", "site.yaml:2:20 error wrong-value `zones` wants"},
      {"crews: {a: {people: 1, hours: 6 h, duty: {days: [sat]}}}\n", "site.yaml:2:"},
      {"crews: {a: {people: 1, hours: 6 h, duty: {hours: 2 h, days: [never]}}}\n", "site.yaml:2:"},
  };
  for (const auto& one : cases) {
    CAPTURE(one.site);
    const auto problems = problems_of_site("site: N\n" + one.site);
    REQUIRE(!problems.empty());
    CHECK(joined(problems).starts_with(one.told));
  }
}
