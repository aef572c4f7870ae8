#include <doctest/doctest.h>

#include "book/site/site.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using namespace budwood::book::test;
using budwood::calendar::iso_date;

TEST_CASE("lots are read with their count, test and last day") {
  const Site site = site_of(
      "lots:\n"
      "  T-114: {of: stock_seed, count: 2000, test: 176 of 200 on 2027-01-12, use_by: 2027-06-30}\n"
      "  T-120: {of: stock_seed, count: 1480 seeds on 2027-03-01, cultivar: Bonita}\n"
      "supplies: {stock_seed: {field_factor: 95 %, test_holds: 26 weeks}}\n");
  const Lot& first = site.lots.at("T-114");
  CHECK(first.of.value == "stock_seed");
  CHECK(first.count.quantity.value == 2000);
  CHECK_FALSE(first.counted.has_value());
  CHECK(first.test->good == 176);
  CHECK(first.test->of == 200);
  CHECK(iso_date(first.test->day) == "2027-01-12");
  CHECK(iso_date(first.use_by->value) == "2027-06-30");
  const Lot& second = site.lots.at("T-120");
  CHECK(second.count.quantity.value == 1480);
  CHECK(iso_date(*second.counted) == "2027-03-01");
  CHECK(second.cultivar == "Bonita");
  CHECK(site.supplies.at("stock_seed").field_factor->value == doctest::Approx(0.95));
  CHECK(site.supplies.at("stock_seed").test_holds == 182);
}

TEST_CASE("mother plants are read, and their generations counted") {
  const Site site = site_of(
      "mothers:\n"
      "  first: {of: shoot, plants: 4, gives: 9 every 2 weeks, from: 2025-03-01, generation: 1}\n"
      "  second: {of: shoot, plants: 40, gives: 12 shoots every 21 days, from: 2027-03-01,\n"
      "           until: 2027-08-31, planted: 2026-09-01, renew_after: 104 weeks,\n"
      "           first_after: 16 weeks, raised_from: first, at_most: 3}\n"
      "  third: {of: shoot, plants: 40, gives: 12 every 21 days, from: 2027-03-01,\n"
      "          raised_from: second}\n");
  const Mothers& second = site.mothers.at("second");
  CHECK(second.plants == 40);
  CHECK(second.gives.quantity.value == 12);
  CHECK(second.every == 21);
  CHECK(*second.renew_after == 728);
  CHECK(*second.first_after == 112);
  CHECK(second.generation->value == 2);
  CHECK(site.mothers.at("third").generation->value == 3);
}

TEST_CASE("finished plants are read, and for how long a surplus serves") {
  const Site site = site_of(
      "finished:\n"
      "  east_bed: {of: plug_pansies, plants: 40 on 2029-03-05, until: 2029-04-30, cultivar: "
      "Blue}\n"
      "  bought in: {of: bench_graft.splice, plants: 0, from: 2029-03-01}\n"
      "surplus: {plug_pansies: 3 weeks, bench_graft.splice: 10 days}\n");
  const Finished& first = site.finished.at("east_bed");
  CHECK(first.of.value == "plug_pansies");
  CHECK(first.plants == 40);
  CHECK(iso_date(*first.counted) == "2029-03-05");
  CHECK(iso_date(first.until->value) == "2029-04-30");
  CHECK_FALSE(first.from.has_value());
  CHECK(first.cultivar == "Blue");
  CHECK(site.finished.at("bought in").plants == 0);
  CHECK(iso_date(site.finished.at("bought in").from->value) == "2029-03-01");
  CHECK(site.surplus.at("plug_pansies").value == 21);
  CHECK(site.surplus.at("bench_graft.splice").value == 10);
}

TEST_CASE("every mistake in lots and mother plants is named at its place") {
  struct Mistake {
    const char* lines;
    const char* problem;
  };
  const Mistake mistakes[] = {
      {"lots: {A: {of: seed}}\n", "missing-key"},
      {"lots: {A: {count: 5}}\n", "missing-key"},
      {"lots: {A: {of: seed, count: -1}}\n", "out-of-range `count` cannot be less than 0."},
      {"lots: {A: {of: seed, count: 5 on monday}}\n", "`count` wants"},
      {"lots: {A: {of: seed, count: 5, test: 176 of 200}}\n", "`test` wants a count and the day"},
      {"lots: {A: {of: seed, count: 5, test: 88 % on 2027-01-12}}\n", "`test` wants"},
      {"lots: {A: {of: seed, count: 5, test: 201 of 200 on 2027-01-12}}\n",
       "out-of-range `test` tells how many of how many came up"},
      {"lots: {A: {of: seed, count: 5, use_by: soon}}\n", "`use_by` wants a date"},
      {"lots: {A: {of: seed, count: 5, origin: x}}\n", "unknown-key"},
      {"lots: {\"A, B\": {of: seed, count: 5}}\n", "bad-name A comma"},
      {"mothers: {a: {of: s, plants: 4, gives: 12, from: 2027-03-01}}\n",
       "`gives` wants an amount of each plant, and how often"},
      {"mothers: {a: {of: s, plants: 4, gives: 12 every 3 h, from: 2027-03-01}}\n",
       "`gives` wants"},
      {"mothers: {a: {of: s, plants: 4, gives: 0 every 3 days, from: 2027-03-01}}\n",
       "out-of-range `gives` has to be more than 0."},
      {"mothers: {a: {of: s, plants: 4, gives: 2 every 3 days, from: 2027-03-01, until: "
       "2027-02-01}}\n",
       "out-of-range `until` comes before `from`"},
      {"mothers: {a: {of: s, plants: 4, gives: 2 every 3 days, from: 2027-03-01, renew_after: 9 "
       "weeks}}\n",
       "missing-key How old these mothers are is not known"},
      {"mothers: {a: {of: s, plants: 4, gives: 2 every 3 days, from: 2027-03-01, generation: 4, "
       "at_most: 3}}\n",
       "many-generations `a` are generation 4, and 3 are allowed."},
      {"mothers: {a: {of: s, plants: 4, gives: 2 every 3 days, from: 2027-03-01, raised_from: "
       "b}}\n",
       "unknown-name There are no mothers named `b`."},
      {"mothers: {a: {of: s, plants: 4, gives: 2 every 3 days, from: 2027-03-01, raised_from: "
       "a}}\n",
       "own-ancestors"},
      {"mothers: {a: {of: s, plants: 4, gives: 2 every 3 days, from: 2027-03-01, generation: 1, "
       "raised_from: a}}\n",
       "two-generations"},
      {"lots: {a: {of: s, count: 1}}\nmothers: {a: {of: s, plants: 4, gives: 2 every 3 days, from: "
       "2027-03-01}}\n",
       "same-name `a` is a lot already"},
      {"finished: {a: {of: p}}\n", "missing-key"},
      {"finished: {a: {plants: 4}}\n", "missing-key"},
      {"finished: {a: {of: p, plants: many}}\n", "`plants` wants a whole number"},
      {"finished: {a: {of: p, plants: 4 on monday}}\n",
       "`plants` wants a whole number, and perhaps"},
      {"finished: {a: {of: p, plants: 4, from: 2027-03-01, until: 2027-02-01}}\n",
       "out-of-range `until` comes before `from`"},
      {"finished: {a: {of: p, plants: 4 on 2027-05-01, until: 2027-02-01}}\n",
       "out-of-range `until` comes before the day of the count"},
      {"lots: {a: {of: s, count: 1}}\nfinished: {a: {of: p, plants: 4}}\n",
       "same-name `a` is the name of a lot or of mothers already."},
      {"finished: {a.b: {of: p, plants: 4}}\n", "bad-name"},
      {"surplus: {p: 3}\n", "`p` wants whole days or weeks"},
      {"surplus: {p: 5 h}\n", "`p` wants whole days or weeks, such as `3 weeks`"},
      {"supplies: {seed: {field_factor: 120 %}}\n", "out-of-range `field_factor`"},
      {"supplies: {seed: {field_factor: 0 %}}\n", "out-of-range `field_factor`"},
      {"supplies: {seed: {test_holds: 3}}\n", "`test_holds` wants a length of time"},
  };
  for (const Mistake& mistake : mistakes) {
    CAPTURE(mistake.lines);
    const auto problems = problems_of_site(std::string("site: N\n") + mistake.lines);
    REQUIRE(problems.size() == 1);
    CAPTURE(problems[0]);
    CHECK(problems[0].find(mistake.problem) != std::string::npos);
  }
}

TEST_CASE("generations are counted however many mothers descend from each other") {
  constexpr int many = 20'000;
  std::string lines = "mothers:\n";
  for (int i = 0; i < many; ++i) {
    lines += "  m" + std::to_string(i) +
             ": {of: s, plants: 4, gives: 2 every 3 days, from: " + "2027-03-01" +
             (i + 1 < many ? ", raised_from: m" + std::to_string(i + 1) : "") + "}\n";
  }
  const Site site = site_of(lines);
  CHECK(site.mothers.at("m0").generation->value == many - 1);
  CHECK_FALSE(site.mothers.at("m" + std::to_string(many - 1)).generation.has_value());
}

TEST_CASE("mothers that descend from themselves are told once, and the others go on") {
  const std::string some = ": {of: s, plants: 4, gives: 2 every 3 days, from: 2027-03-01";
  const auto problems =
      problems_of_site("site: N\nmothers:\n  a" + some + ", raised_from: b}\n  b" + some +
                       ", raised_from: c}\n  c" + some + ", raised_from: b}\n");
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].find("own-ancestors") != std::string::npos);
}
