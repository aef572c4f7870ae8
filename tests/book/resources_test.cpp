#include <doctest/doctest.h>

#include "book/site/site.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using namespace budwood::book::test;

TEST_CASE("pauses are taken off the hours, and a person-hour may have a cost") {
  const Site site = site_of(
      "crews:\n"
      "  pricking: {people: 3, hours: 6 h, pauses: 30 min, cost: 18 EUR}\n"
      "  spraying: {people: 1, hours: 4 h, cost: 0.5 EUR per min}\n"
      "  guests: {people: 2, hours: 3 h}\n"
      "currency: EUR\n");
  CHECK(site.crews.at("pricking").hours == 5.5 * 3600);
  CHECK(site.crews.at("pricking").cost->value == 18);
  CHECK(site.crews.at("spraying").cost->value == doctest::Approx(30));
  CHECK_FALSE(site.crews.at("guests").cost.has_value());
}

TEST_CASE("what a site says of a supply goes before the protocol") {
  const Site site = site_of(
      "supplies:\n"
      "  peg: {scrap: 5 %, pack: 200, price: 12 EUR per pack}\n"
      "  mix: {scrap: 0 %, pack: 45 L, price: 0.2 EUR/L}\n"
      "  dye: {price: 12 per pack}\n"
      "currency: EUR\n");
  CHECK(site.supplies.at("peg").scrap->value == doctest::Approx(0.05));
  CHECK(site.supplies.at("peg").pack->quantity.value == 200);
  CHECK(site.supplies.at("peg").price->quantity.unit.symbol == "EUR/pack");
  CHECK(site.supplies.at("peg").price->text == "12 EUR per pack");
  CHECK(site.supplies.at("mix").scrap->value == 0);
  CHECK(site.supplies.at("mix").pack->quantity.unit.symbol == "L");
}

TEST_CASE("what costs nothing may be said to cost nothing") {
  const Site site = site_of(
      "supplies: {gift: {price: 0 EUR}}\ncrews: {helpers: {people: 1, hours: 4 h, cost: 0 EUR}}\n");
  CHECK(site.supplies.at("gift").price->quantity.value == 0);
  CHECK(site.crews.at("helpers").cost->value == 0);
}

TEST_CASE("a room holds so much, so many benches of so much, or has no limit") {
  const Site site = site_of(
      "rooms:\n"
      "  hall: {holds: 40 m2}\n"
      "  house: {holds: 12 benches of 18 m2}\n"
      "  cell: {holds: 8 shelves of 24 trays}\n"
      "  shed: {holds: no limit}\n"
      "  yard: {}\n");
  CHECK(site.rooms.at("hall").holds->quantity.base() == 40);
  CHECK_FALSE(site.rooms.at("hall").vessels.has_value());
  CHECK(site.rooms.at("house").holds->quantity.base() == 216);
  CHECK(site.rooms.at("house").holds->quantity.unit.symbol == "m2");
  CHECK(site.rooms.at("house").vessels->count == 12);
  CHECK(site.rooms.at("house").vessels->noun == "benches");
  CHECK(site.rooms.at("cell").holds->quantity.unit.noun == "trays");
  CHECK(site.rooms.at("cell").holds->quantity.value == 192);
  CHECK(site.rooms.at("shed").unlimited);
  CHECK_FALSE(site.rooms.at("shed").holds.has_value());
  CHECK_FALSE(site.rooms.at("yard").unlimited);
}

TEST_CASE("a site may give a supply its footprint") {
  const Site site = site_of("supplies: {a: {footprint: 28 cm by 54 cm}, b: {footprint: 0.2 m2}}\n");
  CHECK(site.supplies.at("a").footprint->value == doctest::Approx(0.1512));
  CHECK(site.supplies.at("b").footprint->value == doctest::Approx(0.2));
}

TEST_CASE("the currency is the site's, else that of its prices") {
  CHECK(site_of("currency: CHF\nsupplies: {peg: {price: 0.1}}\n").currency->value == "CHF");
  CHECK(site_of("supplies: {peg: {price: 0.1 GBP}}\n").currency->value == "GBP");
  CHECK(site_of("crews: {a: {people: 1, hours: 1 h, cost: 9 GBP}}\n").currency->value == "GBP");
  CHECK_FALSE(site_of("supplies: {peg: {price: 0.1}}\n").currency.has_value());
}

TEST_CASE("every mistake in crews and supplies is named at its place") {
  struct Mistake {
    const char* lines;
    const char* problem;
  };
  const Mistake mistakes[] = {
      {"crews: {a: {people: 2, hours: 4 h, pauses: 4 h}}\n",
       "site.yaml:2:44 error out-of-range `pauses` have to be shorter than `hours`: nothing is "
       "left "
       "to work in. Write what each person pauses a day."},
      {"crews: {a: {people: 2, hours: 4 h, pauses: 30}}\n",
       "site.yaml:2:44 error wrong-value `pauses` wants a length of time, such as `30 min`."},
      {"crews: {a: {people: 2, hours: 4 h, pauses: -5 min}}\n",
       "site.yaml:2:44 error out-of-range `pauses` can be from 0 to 1 day."},
      {"crews: {a: {people: 2, hours: 4 h, cost: -1}}\n",
       "site.yaml:2:42 error out-of-range `cost` cannot be less than 0."},
      {"crews: {a: {people: 2, hours: 4 h, cost: 3 kg}}\n",
       "site.yaml:2:42 error wrong-value `cost` wants money for one person-hour, such as `18.50`."},
      {"crews: {a: {people: 2, hours: 4 h, cost: 3 EUR/L}}\n",
       "site.yaml:2:42 error wrong-value `cost` wants money for one person-hour, such as `18.50`."},
      {"currency: EUR\ncrews: {a: {people: 2, hours: 4 h, cost: 3 GBP}}\n",
       "site.yaml:3:42 error other-currency This cost is in GBP, and the site counts in EUR. A "
       "book "
       "uses one currency."},
      {"supplies: {a: {price: 3 EUR}, b: {price: 3 GBP}}\n",
       "site.yaml:2:42 error other-currency This price is in GBP, and another one is in EUR. A "
       "book "
       "uses one currency."},
      {"supplies: {a: {price: 3}, b: {price: 3 EUR}}\n",
       "site.yaml:2:23 error no-currency This `price` names no currency, and another one is in "
       "EUR. "
       "Add `currency: EUR` to site.yaml if all of them are in it."},
      {"supplies: {a: {price: 3 EUR}}\ncrews: {c: {people: 2, hours: 4 h, cost: 20}}\n",
       "site.yaml:3:42 error no-currency This `cost` names no currency, and another one is in EUR. "
       "Add `currency: EUR` to site.yaml if all of them are in it."},
      {"supplies: {a: {price: [3]}}\n",
       "site.yaml:2:23 error wrong-value `price` wants an amount of money, such as `0.60`."},
      {"supplies: {a: {price: 2 EUR per pck}}\n",
       "site.yaml:2:23 error unknown-unit `EUR/pck` is not a known unit."},
      {"supplies: {a: {scrap: 100 %}}\n",
       "site.yaml:2:23 error out-of-range `scrap` has to be 0 % or more and less than 100 %."},
      {"supplies: {a: {scrap: -1 %}}\n",
       "site.yaml:2:23 error out-of-range `scrap` has to be 0 % or more and less than 100 %."},
      {"supplies: {a: {scrap: 5}}\n",
       "site.yaml:2:23 error out-of-range `scrap` has to be 0 % or more and less than 100 %. Write "
       "`5 %`."},
      {"supplies: {a: {scrap: 5 L}}\n",
       "site.yaml:2:23 error wrong-value `scrap` wants a share under 100 %, such as `5 %`."},
      {"supplies: {a: {pack: 0}}\n",
       "site.yaml:2:22 error out-of-range `pack` has to be more than 0."},
      {"supplies: {a: {pack: -3 L}}\n",
       "site.yaml:2:22 error out-of-range `pack` has to be more than 0."},
      {"rooms: {a: {holds: 0 m2}}\n",
       "site.yaml:2:20 error out-of-range `holds` has to be more than 0. Write `holds: no limit` "
       "if there is none."},
      {"rooms: {a: {holds: 6 benches of 12}}\n",
       "site.yaml:2:20 error wrong-value `holds` wants so many benches, shelves or carts of so "
       "much, such as `6 benches of 12 m2`."},
      {"rooms: {a: {holds: 6 m2 of 12 trays}}\n",
       "site.yaml:2:20 error wrong-value Benches, shelves or carts are counted, but `6 m2` is not. "
       "Such as: holds: 6 benches of 12 m2"},
      {"rooms: {a: {holds: 6 benches of 0 m2}}\n",
       "site.yaml:2:20 error out-of-range `holds` has to be more than 0. Write `holds: no limit` "
       "if there is none."},
      {"supplies: {a: {footprint: 28 x 54 cm}}\n",
       "site.yaml:2:27 error wrong-value `footprint` wants a length by a width, or an area, such "
       "as `28 cm by 54 cm`."},
      {"rooms: {a: {holds: 6 benches x 12 m2}}\n",
       "site.yaml:2:20 error wrong-value `holds` wants so many benches, shelves or carts of so "
       "much, such as `6 benches of 12 m2`."},
      {"rooms: {a: {holds: 6 of 12 m2}}\n",
       "site.yaml:2:20 error wrong-value `holds` wants so many benches, shelves or carts of so "
       "much, such as `6 benches of 12 m2`."},
      {"supplies: {a: {footprint: 28 cm}}\n",
       "site.yaml:2:27 error wrong-value `footprint` wants a length by a width, or an area, such "
       "as `28 cm by 54 cm`."},
      {"supplies: {a: {footprint: 28 cm by 54}}\n",
       "site.yaml:2:27 error wrong-value `footprint` wants a length by a width, or an area, such "
       "as `28 cm by 54 cm`."},
      {"supplies: {a: {footprint: 0 m2}}\n",
       "site.yaml:2:27 error wrong-value `footprint` wants a length by a width, or an area, such "
       "as `28 cm by 54 cm`."},
      {"supplies: {a: {packs: 3}}\n",
       "site.yaml:2:16 error unknown-key `packs` is not a key of a supply. Did you mean `pack`?"},
  };
  for (const Mistake& mistake : mistakes) {
    CAPTURE(std::string(mistake.lines));
    CHECK(joined(problems_of_site(std::string("site: N\n") + mistake.lines)) ==
          std::string(mistake.problem) + "\n");
  }
}

TEST_CASE(
    "a room whose size cannot be read is there all the same, and lots that cannot are counted") {
  Outcome outcome;
  read(
      "site: N\nrooms: {a: {holds: 6 benches}, b: {holds: many}}\n"
      "lots: {T-1: {of: seed, count: 40}, T-2: {of: seed, count: 40, test: 91 %}}\n",
      small_batches, outcome);
  CHECK(outcome.problems.size() == 2);
  REQUIRE(outcome.book->site.rooms.contains("b"));
  CHECK_FALSE(outcome.book->site.rooms.at("b").holds.has_value());
  CHECK(outcome.book->site.lots.size() == 1);
  CHECK(outcome.book->site.lots_unread);
}
