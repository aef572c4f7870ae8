#include <doctest/doctest.h>

#include "../day.hpp"
#include "book/site/site.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using budwood::tests::day;
using namespace budwood::book::test;
namespace calendar = budwood::calendar;
namespace units = budwood::units;

namespace {

const char* whole_site = R"(# A whole site.
site: North house
latitude: 44.6
currency: EUR
working:
  days: [mon, tue, Wednesday, thu, fri]
  hours: "07:00-15:30"
  closed: [2027-01-01, 2027-12-24 to 2027-12-31]
rooms:
  bench_room: {}
  callus_store: {holds: 30 crates}
  tunnel: {holds: 4000 plants}
  shed:
crews:
  grafting: {people: 3, hours: 6 h}
  potting: {people: 2, hours: 7.5 h}
supplies:
  scion_stick: {on_hand: 120, price: 0.60, lead_time: 14 days}
  mix: {on_hand: 400 L, price: 0.12 EUR/L}
inputs:
  bench_graft: {graft_take: 82 %, graft_speed: 80 per hour}
)";

/// A mistake in a site and the one line that has to be said about it.
struct Mistake {
  const char* site;
  const char* problem;
};

}  // namespace

TEST_CASE("a whole site is read") {
  Outcome outcome;
  read(whole_site, small_batches, outcome);
  REQUIRE(outcome.problems.empty());
  const Site& site = outcome.book->site;
  CHECK(site.name.value == "North house");
  CHECK(budwood::text::describe(site.name.span).ends_with("site.yaml:2:7"));
  CHECK(site.latitude->value == 44.6);
  CHECK_FALSE(site.southern());
  CHECK(site.currency->value == "EUR");

  CHECK(site.working.works(day("2027-01-04")));
  CHECK(site.working.reason_closed(day("2027-01-01")) == "a closed day");
  CHECK(site.working.reason_closed(day("2027-12-27")) == "a closed day");
  CHECK(site.working.reason_closed(day("2027-01-02")) == "a Saturday");
  REQUIRE(site.closed.size() == 2);
  CHECK(site.closed[1].first == day("2027-12-24"));
  CHECK(site.closed[1].last == day("2027-12-31"));
  CHECK(budwood::text::describe(site.closed[1].span).ends_with("site.yaml:8:24"));
  CHECK(site.hours->from == 7 * 60);
  CHECK(site.hours->to == 15 * 60 + 30);

  CHECK(site.rooms.size() == 4);
  CHECK_FALSE(site.rooms.at("bench_room").holds.has_value());
  CHECK_FALSE(site.rooms.at("shed").holds.has_value());
  CHECK(site.rooms.at("callus_store").holds->quantity.value == 30);
  CHECK(site.rooms.at("callus_store").holds->quantity.unit.noun == "crates");
  CHECK(site.crews.at("grafting").people == 3);
  CHECK(site.crews.at("potting").hours == 7.5 * 3600);
  CHECK(site.supplies.at("scion_stick").on_hand->quantity.value == 120);
  CHECK(site.supplies.at("scion_stick").lead_time->value == 14 * 86400);
  CHECK(site.supplies.at("mix").price->quantity.unit.symbol == "EUR/L");
  CHECK_FALSE(site.supplies.at("mix").lead_time.has_value());
  const Written& take = site.inputs.at("bench_graft").at("graft_take");
  CHECK(take.text == "82 %");
  CHECK(take.quantity.base() == doctest::Approx(0.82));
  CHECK(budwood::text::describe(take.span).ends_with("site.yaml:21:29"));
  CHECK(site.inputs.at("bench_graft").at("graft_speed").quantity.unit.symbol == "per hour");
}

TEST_CASE("a site needs no more than its name") {
  Outcome outcome;
  read(small_site, small_batches, outcome);
  REQUIRE(outcome.problems.empty());
  CHECK(outcome.book->site.working.days() == calendar::DaySet::all());
  CHECK(outcome.book->site.rooms.empty());
}

TEST_CASE("a site in the south") {
  Outcome outcome;
  read("site: S\nlatitude: -33.9\n", small_batches, outcome);
  CHECK(outcome.problems.empty());
  CHECK(outcome.book->site.southern());
}

TEST_CASE("every mistake in a site is named at its place") {
  const Mistake mistakes[] = {
      {"latitude: 44.6\n",
       "site.yaml:1:1 error missing-key `site` is missing from site.yaml. Add a line such as "
       "`site: "
       "North house`."},
      {"site:\n",
       "site.yaml:1:1 error no-value `site` has no value. Write one after the colon, or remove the "
       "line."},
      {"site: [a]\n",
       "site.yaml:1:7 error wrong-value `site` wants a name, such as `North house`."},
      {"site: \"a\\nb\"\n",
       "site.yaml:1:7 error bad-text `site` holds a character that cannot be printed. Write it on "
       "one line, in plain characters."},
      {"site: N\nlatitude: 91\n",
       "site.yaml:2:11 error out-of-range `latitude` can be from -90 to 90."},
      {"site: N\nlatitude: 44 N\n",
       "site.yaml:2:11 error wrong-value `latitude` wants degrees from -90 to 90, negative in the "
       "south, such as `44.6`."},
      {"site: N\ncurrency: euros\n",
       "site.yaml:2:11 error wrong-value `currency` wants the three letters of a currency, such as "
       "`EUR`."},
      {"site: N\nrules: good\n",
       "site.yaml:2:8 error wrong-value `rules` wants a list of rule sets, such as "
       "`[good_practice]`."},
      {"site: N\nroms: {}\n",
       "site.yaml:2:1 error unknown-key `roms` is not a key of site.yaml. Did you mean `rooms`?"},
      {"site: N\nworking: {days: [mon, fryday]}\n",
       "site.yaml:2:23 error wrong-value `days` wants weekdays, and this is none. Did you mean "
       "`Friday`?"},
      {"site: N\nworking: {days: []}\n",
       "site.yaml:2:17 error wrong-value `days` wants a list of weekdays, such as `[mon, tue, "
       "wed]`."},
      {"site: N\nworking: {days: [mon, tue, Monday]}\n",
       "site.yaml:2:28 warning repeated-value This weekday stands here twice. Remove one of them."},
      {"site: N\nworking: {hours: 7-15}\n",
       "site.yaml:2:18 error wrong-value `hours` wants two times of day, such as `07:00-15:30`."},
      {"site: N\nworking: {hours: \"07:00-25:00\"}\n",
       "site.yaml:2:18 error wrong-value `hours` wants two times of day, such as `07:00-15:30`."},
      {"site: N\nworking: {hours: \"07:60-15:00\"}\n",
       "site.yaml:2:18 error wrong-value `hours` wants two times of day, such as `07:00-15:30`."},
      {"site: N\nworking: {hours: \"15:30-07:00\"}\n",
       "site.yaml:2:18 error out-of-range `hours` ends before it begins. Write the earlier time "
       "first, such as `07:00-15:30`."},
      {"site: N\nworking: {closed: [2027-02-30]}\n",
       "site.yaml:2:20 error no-such-date `2027-02-30` is no date: there is no 30 February."},
      {"site: N\nworking: {closed: [2027-02-29]}\n",
       "site.yaml:2:20 error no-such-date `2027-02-29` is no date: 2027 has no 29 February."},
      {"site: N\nworking: {closed: [2027-13-01]}\n",
       "site.yaml:2:20 error no-such-date `2027-13-01` is no date: there is no month 13."},
      {"site: N\nworking: {closed: [2027-01-00]}\n",
       "site.yaml:2:20 error no-such-date `2027-01-00` is no date: there is no 0 January."},
      {"site: N\nworking: {closed: [1969-12-31]}\n",
       "site.yaml:2:20 error no-such-date `1969-12-31` is outside the calendar, which runs from "
       "1970 "
       "to 2199."},
      {"site: N\nworking: {closed: [1 May]}\n",
       "site.yaml:2:20 error wrong-value `closed` wants a date, such as `2027-01-01`; `1 May` is "
       "none. Write the year, the month and the day with two dashes."},
      {"site: N\nworking: {closed: [2027-12-31 to 2027-12-24]}\n",
       "site.yaml:2:20 error out-of-range These closed days end before they begin. Write the "
       "earlier "
       "date first."},
      {"site: N\nworking: {closed: 2027-12-31}\n",
       "site.yaml:2:19 error wrong-value `closed` wants a list of dates, such as `[2027-01-01, "
       "2027-12-24 to 2027-12-31]`."},
      {"site: N\nrooms: {a: {holds: 30}}\n",
       "site.yaml:2:20 error wrong-value `holds` wants a number and a unit, or `no limit`, such as "
       "`30 crates`."},
      {"site: N\nrooms: {a: {holds: many}}\n",
       "site.yaml:2:20 error wrong-value `holds` wants a number and a unit, or `no limit`, such as "
       "`30 crates`."},
      {"site: N\nrooms: {a: {holds: 30 cr/tes}}\n",
       "site.yaml:2:20 error unknown-unit `cr/tes` is not a known unit. Did you mean `crates`?"},
      {"site: N\nrooms: {a: {holds: 30 crats}}\n",
       "site.yaml:2:20 warning unknown-unit `crats` is not a known unit; it is taken as something "
       "counted. Did you mean `crates`?"},
      {"site: N\nrooms: {a: {holds: 0 crates}}\n",
       "site.yaml:2:20 error out-of-range `holds` has to be more than 0. Write `holds: no limit` "
       "if "
       "there is none."},
      {"site: N\nrooms: {a: {hold: 1 m2}}\n",
       "site.yaml:2:13 error unknown-key `hold` is not a key of a room. Did you mean `holds`?"},
      {"site: N\nrooms: {a: 30 crates}\n",
       "site.yaml:2:12 error wrong-kind Lines of the form `key: value` belong here. The keys are "
       "holds, turnover, mist_flow, zones, stands, tolerance, steps, can, by_timer, scout, "
       "lets_in, lamps, area and heat_loss."},
      {"site: N\nrooms: {a=b: {}}\n",
       "site.yaml:2:9 error bad-name `a=b` cannot be a name. A site's own name has at most 64 "
       "characters on one line, none of them . = * or a quote."},
      {"site: N\nrooms: [a, b]\n",
       "site.yaml:2:8 error wrong-value `rooms` wants a line for each room, such as `bench: "
       "{holds: "
       "30 trays}`."},
      {"site: N\ncrews: {a: {people: 3}}\n",
       "site.yaml:2:12 error missing-key `hours` is missing from a crew. Add a line such as "
       "`hours: 6 "
       "h`."},
      {"site: N\ncrews: {a: {people: 0, hours: 6 h}}\n",
       "site.yaml:2:21 error out-of-range `people` can be from 1 to 10000."},
      {"site: N\ncrews: {a: {people: 1.5, hours: 6 h}}\n",
       "site.yaml:2:21 error wrong-value `people` wants a whole number, such as `3`."},
      {"site: N\ncrews: {a: {people: 2, hours: 6}}\n",
       "site.yaml:2:31 error wrong-value `hours` wants a length of time, such as `6 h`."},
      {"site: N\ncrews: {a: {people: 2, hours: 25 h}}\n",
       "site.yaml:2:31 error out-of-range `hours` can be from 0 to 1 day."},
      {"site: N\ncrews: {a: {people: 2, hours: 0 h}}\n",
       "site.yaml:2:31 error out-of-range `hours` has to be more than 0."},
      {"site: N\nsupplies: {a: {on_hand: -1}}\n",
       "site.yaml:2:25 error out-of-range `on_hand` cannot be less than 0."},
      {"site: N\nsupplies: {a: {price: 3 kg}}\n",
       "site.yaml:2:23 error wrong-value `price` wants an amount of money, such as `0.60`."},
      {"site: N\nsupplies: {a: {price: -3}}\n",
       "site.yaml:2:23 error out-of-range `price` cannot be less than 0."},
      {"site: N\ncurrency: EUR\nsupplies: {a: {price: 3 USD/L}}\n",
       "site.yaml:3:23 error other-currency This price is in USD, and the site counts in EUR. A "
       "book "
       "uses one currency."},
      {"site: N\nsupplies: {a: {lead_time: 2 months}}\n",
       "site.yaml:2:27 error unknown-unit `months` is not a known unit. Write `weeks` or `days`: "
       "months and years differ in length."},
      {"site: N\nsupplies: {a: {lead_time: -2 days}}\n",
       "site.yaml:2:27 error out-of-range `lead_time` can be from 0 to 1825 days."},
      {"site: N\nsupplies: {a: {lead_time: 14}}\n",
       "site.yaml:2:27 error wrong-value `lead_time` wants a length of time, such as `14 days`."},
      {"site: N\ninputs: {bench_graft: 82 %}\n",
       "site.yaml:2:23 error wrong-value `bench_graft` wants a line for each input, such as "
       "`graft_take: 82 %`."},
      {"site: N\ninputs: {bench_graft: {take: high}}\n",
       "site.yaml:2:30 error wrong-value `take` wants a number and perhaps a unit, such as `82 "
       "%`."},
      {"site: N\ninputs: {bench_graft: {take: 2 years}}\n",
       "site.yaml:2:30 error unknown-unit `years` is not a known unit. Write `weeks` or `days`: "
       "months and years differ in length."},
      {"site: N\nsite: M\n",
       "site.yaml:2:1 error duplicate-key `site` stands here a second time. Keep one of the two."},
      {"just text\n",
       "site.yaml:1:1 error wrong-kind Lines of the form `key: value` belong here. The keys are "
       "site, "
       "latitude, currency, protocols, working, rooms, tolerance, crews, supplies, inputs, "
       "sure, climate, rules, waive, names, units, trusts, labels, record, moving, spacing, steps, "
       "spare, full_trays, lots, mothers, recipes, picking, energy, water, finished and surplus."},
  };
  for (const Mistake& mistake : mistakes) {
    CAPTURE(std::string(mistake.site));
    CHECK(joined(problems_of_site(mistake.site)) == std::string(mistake.problem) + "\n");
  }
}

TEST_CASE("words that a protocol may bring are counted things for now") {
  Outcome outcome;
  read("site: N\nrooms: {a: {holds: 8 gutters}}\n", small_batches, outcome);
  CHECK(outcome.problems.empty());
  const Written& holds = *outcome.book->site.rooms.at("a").holds;
  CHECK_FALSE(holds.known_unit);
  CHECK(holds.quantity.unit.noun == "gutters");
  CHECK(holds.quantity.unit.dimension == units::count);
  CHECK(holds.quantity.value == 8);
}

TEST_CASE("one mistake does not hide the next") {
  const auto problems = problems_of_site(
      "latitude: 100\nrooms: {a: {holds: 3}, b: {holds: -1 m2}}\ncrews: {c: {}}\nfoo: 1\n");
  CHECK(problems.size() == 7);
}

TEST_CASE("a character that moves the terminal is told; tabs and lines of a note are fine") {
  CHECK(joined(problems_of_site("site: \"Alder\\e[2J\"\n")).find("bad-text") != std::string::npos);
  CHECK(joined(problems_of_batches("batches:\n  - {batch: A1, protocol: bench_graft, plants: 6, "
                                   "ready: 2027-05-10, note: \"a\\tb\\nc\"}\n")) == "");
}
