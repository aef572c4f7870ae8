#include "plan/needs/costs.hpp"
#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"
#include "priced.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// Everything but the work without a crew has a price.
PricedBook priced() {
  PricedBook book;
  book.add_three();
  book.facts("clip").price = quantity("0.10");
  book.facts("label").price = quantity("4 EUR/pack");
  book.facts("tray").price = quantity("0.90");
  book.facts("mix").price = quantity("0.20 EUR/L");
  book.site().crews["bench"] = {2, 6 * 3600, book::Placed<double>{21.50, {}}, {}};
  book.site().crews["garden"] = {1, 6 * 3600, book::Placed<double>{18, {}}, {}};
  return book;
}

Costs costs_of(PricedBook& book) {
  const Plan& plan = book.plan();
  return batch_costs(plan, total_needs(plan));
}

}  // namespace

TEST_CASE("a batch costs what it uses up and people's time, stage by stage") {
  PricedBook book = priced();
  const Costs costs = costs_of(book);
  REQUIRE(costs.batches.size() == 3);
  const BatchCost& a = costs.batches[0];
  REQUIRE(a.stages.size() == 3);
  // Grafting: 80 labels at 0.08 and 2 trays at 0.90; 80 grafts at 40 an hour. Clips come back.
  CHECK(a.stages[0].supplies == doctest::Approx(6.40 + 1.80));
  CHECK(a.stages[0].labour == doctest::Approx(2 * 21.50));
  CHECK(a.stages[0].complete);
  // Healing: half an hour of nobody's in particular.
  CHECK(a.stages[1].total() == 0);
  CHECK_FALSE(a.stages[1].complete);
  // Growing: 20 L at 0.20, a quarter of an hour at 18.
  CHECK(a.stages[2].supplies == doctest::Approx(4));
  CHECK(a.stages[2].labour == doctest::Approx(4.50));
  CHECK(a.total() == doctest::Approx(8.20 + 43 + 4 + 4.50));
  CHECK(a.a_plant == doctest::Approx(59.70 / 80));
  CHECK_FALSE(a.complete);
  // 240 labels, 5 trays, 60 L; 6 hours of grafting and 0.75 of feeding.
  CHECK(costs.supplies == doctest::Approx(19.20 + 4.50 + 12));
  CHECK(costs.labour == doctest::Approx(6 * 21.50 + 0.75 * 18));
  CHECK(costs.total() == doctest::Approx(35.70 + 142.50));
}

TEST_CASE("what has no price is named, so that no sum looks complete") {
  PricedBook book = priced();
  CHECK(costs_of(book).unpriced_supplies.empty());
  CHECK(costs_of(book).unpriced_crews == std::vector<std::string>{""});
  book.facts("mix").price.reset();
  book.site().crews["garden"].cost.reset();
  const Costs costs = costs_of(book);
  CHECK(costs.unpriced_supplies == std::vector<std::string>{"mix"});
  CHECK(costs.unpriced_crews == std::vector<std::string>{"", "garden"});
  CHECK_FALSE(costs.complete());
}

TEST_CASE("with a price for everything the sums are complete") {
  PricedBook book = priced();
  book.protocol().stages[1].works[0].crew = "garden";
  const Costs costs = costs_of(book);
  CHECK(costs.complete());
  CHECK(costs.batches[0].complete);
  CHECK(costs.batches[0].total() == doctest::Approx(59.70 + 9));
}

TEST_CASE("of what comes back a batch pays what it spoils") {
  PricedBook book = priced();
  book.supply("clip").scrap = 0.05;
  // 80 over 0.95 are 85 clips, five of them spoilt, at 0.10.
  CHECK(costs_of(book).batches[0].stages[0].supplies == doctest::Approx(8.20 + 0.50));
  book.facts("clip").price.reset();
  CHECK(costs_of(book).unpriced_supplies == std::vector<std::string>{"clip"});
}
