#include "plan/demand/demand.hpp"

#include <cmath>

#include "../day.hpp"
#include "plan/trials/what_if.hpp"
#include "planned.hpp"
#include "sheet/counts/prospects.hpp"

/// How many to aim at where the demand is not sure, and what is promised when.
namespace budwood::plan::test {

namespace {

const std::string thinned = R"(protocol thinned "Thinned" {
  input take = 80 % from 50 % to 100 %
  part slip "Slip"
  stage rooting of slip { lasts 9 days  loses 1 - take  do "Stick" on day 1 { time 1 h } }
})";

book::Placed<std::int64_t> whole(std::int64_t number) {
  return {number, {}};
}

book::Demand demand(std::int64_t least, std::int64_t usual, std::int64_t most, const char* too_many,
                    const char* too_few) {
  return {whole(least), whole(usual), whole(most), quantity(too_many), quantity(too_few), {}};
}

struct Wanted {
  explicit Wanted(const std::string& protocol = thinned) : planned(protocol) {
    planned.add("A", 50, "2027-06-11").demand = demand(40, 50, 64, "0.80", "3.20");
  }
  book::Batch& batch() { return planned.book().batches.front(); }
  DemandView view() {
    const Plan& plan = planned.plan();
    const auto found = demand_of(plan, plan.batches.front());
    REQUIRE(found.has_value());
    return *found;
  }
  /// What the batch costs on average with so many plants: every pair of plants that come and are
  /// wanted, of the plan of a book that says so.
  double cost_of(std::int64_t plants) {
    const std::int64_t written = batch().plants.value;
    batch().plants.value = plants;
    const Plan& plan = planned.plan();
    const auto coming = sheet::coming_of(plan.row_of(plan.batches.front()));
    REQUIRE(coming.has_value());
    const book::Demand& facts = *batch().demand;
    const auto wanted =
        *statistics::Demand::between(facts.least.value, facts.usual.value, facts.most.value);
    double cost = 0;
    for (std::int64_t come = 0; come <= 3 * facts.most.value; ++come) {
      const double chance = coming->at_least(come) - coming->at_least(come + 1);
      if (chance <= 0) continue;
      for (std::int64_t want = facts.least.value; want <= facts.most.value; ++want) {
        const double both = chance * (wanted.at_most(want) - wanted.at_most(want - 1));
        cost += both * (come > want ? facts.too_many.quantity.value * double(come - want)
                                    : facts.too_few.quantity.value * double(want - come));
      }
    }
    batch().plants.value = written;
    return cost;
  }

  Planned planned;
};

void check_best(Wanted& book) {
  const DemandView view = book.view();
  CHECK(view.planned.cost == doctest::Approx(book.cost_of(book.batch().plants.value)));
  REQUIRE(view.best.has_value());
  double least = 1e9;
  for (std::int64_t plants = 1; plants <= 100; ++plants) {
    least = std::min(least, book.cost_of(plants));
  }
  CHECK(view.best->cost == doctest::Approx(least));
  CHECK(book.cost_of(view.best->plants) == doctest::Approx(least));
}

}  // namespace

TEST_CASE("the best number is that of all numbers, tried one by one") {
  Wanted on_average;
  check_best(on_average);
  Wanted sure;
  sure.batch().sure = book::Placed<double>{0.9, {}};
  check_best(sure);
  Wanted counted;
  counted.batch().set["take"] = quantity("80 %");
  counted.batch().set["take"].good = 40;
  counted.batch().set["take"].seen = 50;
  check_best(counted);
  Wanted dear;
  dear.batch().demand = demand(40, 50, 64, "5", "0.5");
  check_best(dear);
  // The more a plant too few costs, the more are started.
  CHECK(dear.view().best->plants < on_average.view().best->plants);
}

TEST_CASE("where nothing is lost on the way the best number is the quantile of the demand") {
  Wanted book;
  book.batch().set["take"] = quantity("100 %");
  const auto demand = *statistics::Demand::between(40, 50, 64);
  std::int64_t quantile = 40;
  while (demand.at_most(quantile) < 3.2 / (3.2 + 0.8)) ++quantile;
  CHECK(book.view().best->plants == quantile);
}

TEST_CASE(
    "where next to nothing is known of what comes the best number may be far above the most") {
  Wanted book;
  book.batch().set["take"] = quantity("50 %");
  book.batch().set["take"].good = 1;
  book.batch().set["take"].seen = 2;
  book.batch().demand = demand(40, 50, 64, "0.01", "100");
  const DemandView view = book.view();
  REQUIRE(view.best.has_value());
  CHECK(view.best->plants > 200);
  const std::int64_t best = view.best->plants;
  for (const std::int64_t other : {std::int64_t{106}, best / 2, best - 1, best + 1, 2 * best}) {
    book.batch().plants.value = other;
    CHECK(view.best->cost <= book.view().planned.cost + 1e-9);
  }
}

TEST_CASE("the sure number is the smallest that is enough as often as asked") {
  Wanted book;
  const DemandView view = book.view();
  CHECK(view.asked == 0.9);
  REQUIRE(view.sure.has_value());
  CHECK(view.sure->met.enough >= 0.9);
  book.batch().plants.value = view.sure->plants - 1;
  CHECK(book.view().planned.met.enough < 0.9);
  book.batch().sure = book::Placed<double>{0.6, {}};
  CHECK(book.view().asked == 0.6);
}

TEST_CASE("once plants are started nothing else is advised") {
  Wanted book;
  book.batch().counted.push_back({"rooting", 47, {}});
  const DemandView view = book.view();
  CHECK_FALSE(view.best.has_value());
  CHECK_FALSE(view.sure.has_value());
  CHECK(view.planned.expected == doctest::Approx(47));
}

TEST_CASE("promises are kept in the order of their days") {
  Wanted book;
  book.batch().demand.reset();
  book.batch().promised = {{20, tests::day("2027-06-10"), "Fair", {}},
                           {25, tests::day("2027-06-14"), "", {}},
                           {9, tests::day("2027-06-14"), "", {}}};
  const Plan& plan = book.planned.plan();
  const auto kept = promises_of(plan, plan.batches.front());
  REQUIRE(kept.size() == 3);
  // 63 are started, of which 50.4 come.
  CHECK_FALSE(kept[0].kept());
  CHECK(kept[0].there == 0);
  CHECK(calendar::iso_date(*kept[0].whole) == "2027-06-11");
  CHECK(kept[1].kept());
  CHECK_FALSE(kept[2].kept());
  CHECK_FALSE(kept[2].whole.has_value());
  CHECK(kept[2].there == doctest::Approx(5.4));
  std::string told;
  for (const Conflict& one : plan.conflicts) {
    told += one.code + " " + one.message + "\n";
    for (const std::string& text : texts_of(one.repairs)) told += "  " + text + "\n";
  }
  CHECK(told ==
        "promised-more 54 plants are promised, and the batch aims at 50.\n"
        "  Aim at 54 plants.\n"
        "promise-broken 20 plants on Thu 2027-06-10 for Fair are promised, and none are expected "
        "to be there for it.\n"
        "  Promise them for Fri 2027-06-11 or later.\n"
        "promise-broken 9 plants on Mon 2027-06-14 are promised, and 5 are expected to be there "
        "for it.\n"
        "  Promise 5 plants.\n");
}

TEST_CASE("pickings bring plants for promises one after the other") {
  Planned planned(R"(protocol picked "Picked" {
    part pot "Pot"
    stage flowering of pot { lasts 30 days  picks 60 % on day 10, 40 % on last day
      do "Pot" on day 1 { time 1 h } }
  })");
  planned.add("P", 100, "2027-06-30").promised = {{60, tests::day("2027-06-15"), "", {}},
                                                  {40, tests::day("2027-06-30"), "", {}}};
  const Plan& plan = planned.plan();
  const auto kept = promises_of(plan, plan.batches.front());
  REQUIRE(kept.size() == 2);
  CHECK(kept[0].kept());
  CHECK(*kept[0].whole < *kept[1].whole);
  CHECK(kept[1].kept());
}

TEST_CASE("what is promised for the very day on which it comes is kept, for the day before not") {
  const auto check = [](const char* day, bool kept, double there) {
    Wanted book;
    book.batch().demand.reset();
    book.batch().promised = {{20, tests::day(day), "", {}}};
    const Plan& plan = book.planned.plan();
    const PromiseKept found = promises_of(plan, plan.batches.front()).front();
    CHECK(found.kept() == kept);
    CHECK(found.there == there);
  };
  check("2027-06-11", true, 20);
  check("2027-06-10", false, 0);
}

TEST_CASE("what is promised of a batch that was given up is told, but not what went out before") {
  Wanted book;
  book.batch().demand.reset();
  book.batch().promised = {{20, tests::day("2027-06-04"), "Fair", {}},
                           {25, tests::day("2027-06-14"), "Shop", {}}};
  book.batch().stopped = book::Placed<calendar::Day>{tests::day("2027-06-08"), {}};
  book.planned.book().today = tests::day("2027-06-09");
  std::string told;
  for (const Conflict& one : book.planned.plan().conflicts) told += one.code + " " + one.message;
  CHECK(told ==
        "promise-broken 25 plants on Mon 2027-06-14 for Shop are promised of a batch that was "
        "given up.");
}

TEST_CASE("a number that nobody can want is told") {
  Wanted book;
  book.batch().plants.value = 70;
  CHECK(book.planned.problems().find(
            "aim-off-demand Batch `A` aims at 70 plants, more than the 64 that can be wanted.") !=
        std::string::npos);
}

TEST_CASE("the values of a demand are tried out") {
  Wanted book;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto tried = what_if(book.planned.plan(), {"A.demand.too_few=6", "A.demand.most=5 more"},
                             sources, diagnostics);
  REQUIRE(tried.has_value());
  const book::Demand& changed = *tried->book.batches.front().demand;
  CHECK(changed.too_few.quantity.value == 6);
  CHECK(changed.most.value == 69);
  CHECK(tried->changes.size() == 2);
  const auto code_of = [&](const std::string& change) {
    text::Diagnostics found;
    CHECK_FALSE(what_if(book.planned.plan(), {change}, sources, found).has_value());
    return found.sorted().empty() ? std::string() : found.sorted().front().code;
  };
  CHECK(code_of("A.demand.least=55") == "demand-order");
  CHECK(code_of("A.demand.too_few=-1") == "out-of-range");
  CHECK(code_of("A.demand.too_many=free") == "wrong-value");
  book.batch().demand.reset();
  CHECK(code_of("A.demand.least=30") == "wrong-value");
}

}  // namespace budwood::plan::test
