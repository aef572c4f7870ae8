#include <doctest/doctest.h>

#include "plan/making/makings.hpp"
#include "plan/needs/costs.hpp"
#include "plan/rooms/load.hpp"
#include "plan/trials/what_if.hpp"
#include "planned.hpp"
#include "priced.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using budwood::calendar::iso_date;

namespace {

/// Plants without losses that are potted on the Monday two weeks before they are ready, with 1 L of
/// mix each; `recipes` stands in the protocol.
std::string mixed_pots(const std::string& recipes) {
  return R"(protocol potted "Potted" {
    supply peat "Peat-free base" in L pack 70 L
    supply lime "Ground lime" in kg
    supply bag "Bag of feed" in bags
    supply water "Water" in L
    supply mix "Potting mix" in L
    supply dip "Dip" in L
    part plant "Plant"
)" + recipes +
         R"(
    stage potting of plant {
      lasts 1 day
      do "Pot" on day 1 { rate 50 per hour  crew bench  use 1 L mix each  use 2 L dip }
    }
    stage growing of plant { lasts 13 days }
  })";
}

const std::string plain_mix =
    "recipe mix makes 100 L { use 60 L peat  use 300 g lime  use 2 bag  time 30 min  crew bench "
    "}\n";

/// "2027-04-12 100 of 80" for each making, in litres.
std::vector<std::string> makings_of(const Plan& plan, const std::string& supply) {
  std::vector<std::string> out;
  for (const Making& one : plan.makings) {
    const language::Supply& what = plan.recipes[one.recipe].supply();
    if (what.name != supply) continue;
    out.push_back(iso_date(one.date) + " " + units::format(one.amount, what.unit) + " of " +
                  units::format(one.needed, what.unit));
  }
  return out;
}

using MadeLines = std::vector<std::string>;

}  // namespace

TEST_CASE(
    "needs go through a recipe: what goes in is needed, in proportion, on the day of making") {
  PricedBook book(mixed_pots(plain_mix));
  book.add("A", 80, "2027-04-26");
  CHECK(makings_of(book.plan(), "mix") == MadeLines{"2027-04-12 100 L of 80 L"});
  const SupplyNeed mix = book.need("mix");
  CHECK(mix.amount == doctest::Approx(0.08));
  REQUIRE(mix.made);
  CHECK(mix.made->amount == doctest::Approx(0.1));
  CHECK(mix.made->times == 1);
  CHECK_FALSE(mix.purchase);
  const SupplyNeed peat = book.need("peat");
  CHECK(peat.amount == doctest::Approx(0.06));
  REQUIRE(peat.takings.size() == 1);
  CHECK(iso_date(peat.takings[0].day) == "2027-04-12");
  CHECK(peat.takings[0].making == 0);
  CHECK(peat.purchase->packs == 1);
  CHECK(book.need("lime").amount == doctest::Approx(0.3));
  CHECK(book.need("bag").amount == 2);
}

TEST_CASE(
    "what says nothing of keeping is made in whole times, and what is over goes to the next") {
  PricedBook book(mixed_pots(plain_mix));
  book.add("A", 80, "2027-04-26");
  book.add("B", 110, "2027-05-03");
  book.add("C", 5, "2027-05-10");
  // 20 L of A go to B, which needs 90 more; 10 L of that are enough for C.
  CHECK(makings_of(book.plan(), "mix") ==
        MadeLines{"2027-04-12 100 L of 80 L", "2027-04-19 100 L of 110 L"});
  CHECK(book.need("peat").amount == doctest::Approx(0.12));
}

TEST_CASE("what keeps is made once for all uses within the time, in full vessels") {
  PricedBook book(
      mixed_pots("recipe mix makes 100 L in vessels of 30 L keeps 7 days made 1 day before {\n"
                 "use 60 L peat  time 30 min  setup 10 min  crew bench }\n"));
  book.add("A", 80, "2027-04-26");
  book.add("B", 110, "2027-05-03");
  book.add("C", 60, "2027-05-10");
  // A is potted on Monday the 12th, so it is made on Friday the 9th, which keeps to the 16th; B's
  // of Friday the 16th keeps to the 23rd.
  CHECK(makings_of(book.plan(), "mix") == MadeLines{"2027-04-09 90 L of 80 L",
                                                    "2027-04-16 120 L of 110 L",
                                                    "2027-04-23 60 L of 60 L"});
  for (language::Recipe& one : book.protocol().recipes) one.keeps = 11 * units::seconds_a_day;
  // The 9th and 11 days are the 20th: A's and B's together.
  CHECK(makings_of(book.plan(), "mix") ==
        MadeLines{"2027-04-09 210 L of 190 L", "2027-04-23 60 L of 60 L"});
  const Making& both = book.plan().makings.front();
  CHECK(both.seconds == doctest::Approx(600 + 1800 * 2.1));
}

TEST_CASE("what keeps for hours is made on the day, and fresh when the work takes longer") {
  PricedBook book(
      mixed_pots("recipe dip makes 1 L keeps 2 h { use 1 L water  time 5 min  setup 10 min }\n"));
  book.add("A", 80, "2027-04-26");
  book.add("B", 400, "2027-04-26");
  book.site().crews["bench"].people = 2;
  book.site().crews["bench"].hours = 7 * 3600.0;
  // 480 plants are 9.6 hours of work, 4.8 by the clock of two people: three times, 4 L for 2 each.
  const Plan& plan = book.plan();
  CHECK(makings_of(plan, "dip") == MadeLines{"2027-04-12 6 L of 4 L"});
  CHECK(plan.makings[0].portions == 3);
  CHECK(plan.makings[0].seconds == doctest::Approx(3 * 600 + 6 * 300));
  const MakingDetail told = describe(plan, plan.makings[0]);
  CHECK(told.id == "dip/make/2027-04-12");
  CHECK(told.batches == MadeLines{"A", "B"});
  CHECK(told.uses.front() == "2 L for A/potting/1/1 on Mon 2027-04-12");
  CHECK(told.notes == MadeLines{"Make it fresh 3 times that day, 2 L each: it keeps 2 h.",
                                "2 L will be over: throw out what has stood too long."});
  // Another day is another making, however much is over.
  book.add("C", 10, "2027-04-27");
  CHECK(makings_of(book.plan(), "dip") ==
        MadeLines{"2027-04-12 6 L of 4 L", "2027-04-13 2 L of 2 L"});
}

TEST_CASE("what hardly keeps at all is made once a minute at most") {
  PricedBook book(mixed_pots("recipe dip makes 1 L keeps 0.000001 s { use 1 L water }\n"));
  book.add("A", 80, "2027-04-26");
  const Plan& plan = book.plan();
  REQUIRE(plan.makings.size() == 1);
  CHECK(plan.makings[0].portions == 1440);
}

TEST_CASE("a recipe in a recipe is made before, and its needs go on to what is bought") {
  PricedBook book(
      mixed_pots("recipe mix makes 100 L made 1 day before { use 90 L peat  use 10 L dip }\n"
                 "recipe dip makes 20 L { use 1 kg lime  use 20 L water }\n"));
  book.add("A", 200, "2027-04-26");
  const Plan& plan = book.plan();
  // Made on Sunday, as nobody is named; 20 L go into it, and 2 L are used on Monday.
  CHECK(makings_of(plan, "mix") == MadeLines{"2027-04-11 200 L of 200 L"});
  CHECK(makings_of(plan, "dip") == MadeLines{"2027-04-11 20 L of 20 L", "2027-04-12 20 L of 2 L"});
  CHECK(describe(plan, plan.makings[0]).uses ==
        MadeLines{"20 L for mix/make/2027-04-11 on Sun 2027-04-11"});
  CHECK(book.need("lime").amount == doctest::Approx(2));
  CHECK(book.need("dip").amount == doctest::Approx(0.022));
}

TEST_CASE("what is on hand goes first, as far as it keeps") {
  PricedBook book(mixed_pots(plain_mix));
  book.add("A", 80, "2027-04-26");
  book.facts("mix").on_hand = quantity("50 L");
  CHECK(makings_of(book.plan(), "mix") == MadeLines{"2027-04-12 100 L of 30 L"});
  book.facts("mix").on_hand = quantity("80 L");
  CHECK(makings_of(book.plan(), "mix").empty());
  REQUIRE(book.need("mix").made);
  CHECK(book.need("mix").made->times == 0);
  // What does not keep for a day was not on hand this morning.
  for (language::Recipe& one : book.protocol().recipes) one.keeps = 8 * 3600.0;
  CHECK(makings_of(book.plan(), "mix") == MadeLines{"2027-04-12 100 L of 80 L"});
}

TEST_CASE("what is on hand is used up once") {
  PricedBook book(mixed_pots(plain_mix));
  book.add("A", 80, "2027-04-26");
  book.add("B", 80, "2027-05-03");
  book.facts("mix").on_hand = quantity("80 L");
  CHECK(makings_of(book.plan(), "mix") == MadeLines{"2027-04-19 100 L of 80 L"});
}

TEST_CASE("making is work of the crew, in its load and its hours") {
  PricedBook book(mixed_pots(plain_mix));
  book.add("A", 80, "2027-04-26");
  book.site().crews["bench"].people = 1;
  book.site().crews["bench"].hours = 2 * 3600.0;
  const Needs needs = book.needs();
  // 80 plants are 1.6 hours, making 100 L takes another half.
  REQUIRE(needs.crews.size() == 1);
  CHECK(needs.crews[0].seconds == doctest::Approx(2.1 * 3600));
  REQUIRE(needs.crews[0].overloads.size() == 1);
  const Load load = load_of(book.plan());
  REQUIRE(load.crews.size() == 1);
  REQUIRE(load.crews[0].overloads.size() == 1);
  CHECK(load.crews[0].overloads[0].seconds == doctest::Approx(2.1 * 3600));
}

TEST_CASE("a mix costs what goes in and who makes it, in the shares of those who use it") {
  PricedBook book(mixed_pots(plain_mix));
  book.add("A", 60, "2027-04-26");
  book.add("B", 20, "2027-04-26");
  for (const char* one : {"peat", "lime", "bag", "dip"}) book.facts(one).price = quantity("1 EUR");
  book.facts("peat").price = quantity("0.50 EUR");
  book.site().crews["bench"].cost = book::Placed<double>{20, {}};
  const Plan& plan = book.plan();
  const Costs costs = batch_costs(plan, total_needs(plan));
  CHECK(costs.unpriced_supplies.empty());
  REQUIRE(costs.batches.size() == 2);
  // 100 L: 30 for peat, 0.30 for lime, 2 for bags, of which A has three quarters (bags stay whole);
  // 2 L of dip are 2.
  CHECK(costs.batches[0].supplies == doctest::Approx(0.75 * 30.3 + 2 + 2));
  CHECK(costs.batches[1].supplies == doctest::Approx(0.25 * 30.3 + 0 + 2));
  CHECK(costs.supplies == doctest::Approx(30 + 0.3 + 2 + 4));
  // Half an hour of making, and 1.6 hours of potting.
  CHECK(costs.labour == doctest::Approx(20 * 2.1));
}

TEST_CASE("needs by day have what goes in on the day of making, and add up") {
  PricedBook book(mixed_pots(
      "recipe mix makes 100 L made 3 days before { use 60 L peat  time 30 min  crew bench }\n"));
  book.add("A", 80, "2027-04-26");
  const Plan& plan = book.plan();
  const Needs needs = total_needs(plan);
  const auto groups = group_needs(plan, needs, Grouping::day);
  REQUIRE(groups.size() == 2);
  CHECK(iso_date(groups[0].first) == "2027-04-09");
  REQUIRE(groups[0].supplies.size() == 1);
  CHECK(needs.supplies[groups[0].supplies[0].index].supply == "peat");
  CHECK(groups[0].crews[0].amount == doctest::Approx(1800));
}

TEST_CASE("the orders tell when what they use is made") {
  PricedBook book(mixed_pots(plain_mix));
  book.add("A", 80, "2027-04-26");
  const Plan& plan = book.plan();
  const OrderDetail order = describe(plan, plan.orders.front());
  REQUIRE_FALSE(order.notes.empty());
  CHECK(order.notes.back() == "Potting mix is made on the same day (mix/make/2027-04-12).");
}

TEST_CASE("what if it kept for another time, or were made in other vessels") {
  PricedBook book(mixed_pots(plain_mix));
  book.add("A", 80, "2027-04-26");
  book.add("B", 60, "2027-05-03");
  const auto tried = [&](const std::string& change) {
    text::Sources sources;
    text::Diagnostics diagnostics;
    const auto what = what_if(book.plan(), {change}, sources, diagnostics);
    if (!what) return MadeLines{diagnostics.sorted().front().code};
    text::Diagnostics planning;
    const Plan after = make_plan(what->book, planning);
    return makings_of(after, "mix");
  };
  CHECK(tried("site.mix.keeps=7 days") == MadeLines{"2027-04-12 200 L of 140 L"});
  CHECK(tried("site.mix.vessel=20 L") ==
        MadeLines{"2027-04-12 80 L of 80 L", "2027-04-19 60 L of 60 L"});
  CHECK(tried("site.mix.vessel=20 kg") == MadeLines{"unit-mismatch"});
  CHECK(tried("site.mix.keeps=0 h") == MadeLines{"out-of-range"});
  CHECK(tried("site.mix.makes=7 days") == MadeLines{"unknown-name"});
}

TEST_CASE("what was made is stock that came in, and what went into it is gone") {
  Planned book(mixed_pots(plain_mix));
  book.add("A", 80, "2027-04-26");
  book.site().supplies["peat"].on_hand = quantity("100 L");
  book.book().today = day("2027-04-09");
  const auto on_hand = [&](const std::string& supply) {
    for (const SupplyNeed& one : total_needs(book.plan()).supplies) {
      if (one.supply == supply) return one.unit.from_base(one.terms.on_hand);
    }
    return -1.0;
  };
  CHECK(on_hand("peat") == doctest::Approx(100));
  const auto note = [&](record::What what, const std::string& supply, const char* on,
                        double amount) {
    record::Entry entry;
    entry.what = what;
    entry.name = supply;
    entry.day = day(on);
    entry.number = amount;
    entry.unit = "L";
    book.book().history.push_back(entry);
  };
  note(record::What::came_in, "mix", "2027-04-09", 50);
  // 50 L of mix took 30 L of peat; 30 L are still to be made: 100 L, with 60 L of peat.
  CHECK(makings_of(book.plan(), "mix") == MadeLines{"2027-04-12 100 L of 30 L"});
  CHECK(on_hand("peat") == doctest::Approx(70));
  note(record::What::came_in, "mix", "2027-04-09", 50);
  CHECK(makings_of(book.plan(), "mix").empty());
  // What was counted since has it all in it.
  note(record::What::stock, "peat", "2027-04-10", 90);
  book.book().batches.front().plants.value = 180;
  CHECK(on_hand("peat") == doctest::Approx(90));
}

TEST_CASE("what was to be made before today is made today") {
  Planned book(mixed_pots(
      "recipe mix makes 100 L made 5 days before { use 60 L peat  time 30 min  crew bench }\n"));
  book.add("A", 80, "2027-04-26");
  book.book().today = day("2027-04-09");
  CHECK(makings_of(book.plan(), "mix") == MadeLines{"2027-04-09 100 L of 80 L"});
}

TEST_CASE("protocols that make one supply in two ways are told, and the first way counts") {
  const std::string second = mixed_pots("recipe mix makes 50 L { use 50 L peat }\n");
  text::Sources sources;
  text::Diagnostics diagnostics;
  Planned book(mixed_pots(plain_mix));
  std::string other = second;
  other.replace(other.find("protocol potted"), 15, "protocol others");
  auto read = language::read(sources.add("other.bud", other), diagnostics).protocols;
  book.book().protocols.push_back(std::move(read.front()));
  book.add("A", 80, "2027-04-26");
  book.add("B", 20, "2027-04-26").protocol.value = "others";
  CHECK(book.problems().find("recipe-differs `mix` is made in another way elsewhere") !=
        std::string::npos);
  CHECK(makings_of(book.plan(), "mix") == MadeLines{"2027-04-12 100 L of 100 L"});
}

TEST_CASE("what goes into a recipe that could not be read is no slip elsewhere") {
  Planned book(mixed_pots(plain_mix));
  book.add("A", 80, "2027-04-26");
  book.site().supplies["perlite"] = {};
  const auto told = [&] {
    text::Diagnostics diagnostics;
    check_site_supplies(book.plan(), diagnostics);
    for (const text::Diagnostic& d : diagnostics.sorted()) {
      if (d.message.find("has a supply `perlite`") != std::string::npos) return true;
    }
    return false;
  };
  CHECK(told());
  book.site().recipes_unread = true;
  CHECK_FALSE(told());
}

TEST_CASE("a feed says what to measure; the water of the site has salts and lime of its own") {
  const auto text_of = [](PricedBook& book, const char* supply) {
    const Plan& plan = book.plan();
    for (const Making& one : plan.makings) {
      const MakingDetail detail = describe(plan, one);
      if (detail.made.supply == supply) return detail;
    }
    return MakingDetail{};
  };
  PricedBook book(mixed_pots("recipe mix makes 100 L at 1.2 mS/cm, pH 5.8 { use 60 L peat }\n"));
  book.add("A", 100, "2027-04-26");
  CHECK(text_of(book, "mix").notes.front() == "Measure before use: EC 1.2 mS/cm; pH 5.8.");
  book.site().water.emplace();
  book.site().water->ec = book::Placed<double>{0.04, {}};
  CHECK(text_of(book, "mix").notes.front() ==
        "Measure before use: EC 1.2 mS/cm, of which 0.4 mS/cm come with the water; pH 5.8.");
  book.site().water->ec = book::Placed<double>{0.13, {}};
  CHECK(text_of(book, "mix").notes.front() ==
        "Measure before use: EC 1.2 mS/cm, and the water alone has 1.3 mS/cm; pH 5.8.");
  book.site().water->acid = book::acids().front();
  CHECK(text_of(book, "mix").notes[1] == "Begin with four fifths of the acid, measure, then add.");
}

TEST_CASE("what the water of a site forbids, and what it asks for") {
  const auto told = [](double ec, double alkalinity, bool acid) {
    Planned book(mixed_pots("recipe mix makes 100 L at 1.2 mS/cm, pH 5.8 { use 60 L peat }\n"));
    book.add("A", 100, "2027-04-26");
    book.site().water.emplace();
    book::Water& water = *book.site().water;
    water.ec = book::Placed<double>{ec, {}};
    water.alkalinity = book::Placed<double>{alkalinity, {}};
    if (acid) water.acid = book::acids().front();
    return book.problems();
  };
  const auto has = [](const std::string& text, const char* piece) {
    return text.find(piece) != std::string::npos;
  };
  CHECK(has(told(0.13, 0.1, false),
            "salty-water `mix` is to have 1.2 mS/cm, and the water alone has 1.3 mS/cm."));
  CHECK_FALSE(has(told(0.05, 0.15, false), "-water"));
  // 220 mg/L are 4.4 mmol/L; 78 % of them, by 9.0 mol/L: 0.38 L for 1000 L.
  const std::string alkaline = told(0.05, 0.22, false);
  CHECK(has(alkaline, "alkaline-water `mix` is to have a pH of 5.8, and the water has 220 mg/L"));
  CHECK(has(alkaline, "would take 0.38 L for 1000 L"));
  CHECK_FALSE(has(told(0.05, 0.22, true), "-water"));
}

TEST_CASE("hard water is told where plants stand under mist") {
  const auto told = [](double hardness) {
    Planned book(
        "protocol p { part plant  stage root of plant { lasts 9 days  mist 6 s every 20 min } }");
    book.add("A", 100, "2027-04-26");
    book.site().water.emplace();
    book.site().water->hardness = book::Placed<double>{hardness, {}};
    return book.problems();
  };
  CHECK(told(0.26).find("hard-water `root` stands under mist, and the water has 260 mg/L") !=
        std::string::npos);
  CHECK(told(0.14).find("hard-water") == std::string::npos);
}
