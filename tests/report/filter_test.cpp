#include "report/formats/filter.hpp"

#include <doctest/doctest.h>

#include "../day.hpp"
#include "report/report.hpp"
#include "sample_plan.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::SamplePlan;
using budwood::tests::day;

TEST_CASE("a filter lets through what it names") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  sample.add_batch("A2", 50, "2027-05-14");
  const plan::Plan& plan = sample.plan();
  // Of each batch: laying leaves, looking for rot three times, potting.
  REQUIRE(plan.orders.size() == 10);
  CHECK(select(plan, {}).size() == 10);

  Filter filter;
  filter.batch = "A2";
  for (const std::size_t i : select(plan, filter)) {
    CHECK(plan::describe(plan, plan.orders[i]).batch == "A2");
  }
  CHECK(select(plan, filter).size() == 5);

  filter.crew = "potting";
  CHECK(select(plan, filter).size() == 1);
  filter.room = "propagator";
  CHECK(select(plan, filter).empty());
  filter.crew.reset();
  CHECK(select(plan, filter).size() == 4);
}

TEST_CASE("both days of a range belong to it") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  const plan::Plan& plan = sample.plan();
  REQUIRE(!plan.orders.empty());
  const calendar::Day first = plan.orders.front().date;
  Filter filter;
  filter.from = first;
  filter.to = first;
  CHECK(select(plan, filter).size() == 1);
  filter.to = first - 1;
  filter.from.reset();
  CHECK(select(plan, filter).empty());
}

TEST_CASE("an empty result says what was looked for") {
  Filter filter;
  CHECK(nothing_found(filter) == "No work orders.");
  filter.from = day("2027-01-01");
  CHECK(nothing_found(filter) == "No work orders from 2027-01-01 on.");
  filter.to = day("2027-01-31");
  filter.batch = "A1";
  filter.room = "bench";
  filter.crew = "potting";
  CHECK(nothing_found(filter) ==
        "No work orders between 2027-01-01 and 2027-01-31 for batch `A1` in room `bench` for crew "
        "`potting`.");
  filter = {};
  filter.to = day("2027-01-31");
  CHECK(nothing_found(filter) == "No work orders up to 2027-01-31.");
}

TEST_CASE("names that the book does not know") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  sample.book().site.rooms["cold_store"] = {};
  const plan::Plan& plan = sample.plan();
  Filter filter;
  CHECK(unknown_name(plan, filter).empty());
  filter.batch = "A1";
  filter.room = "propagator";
  filter.crew = "potting";
  CHECK(unknown_name(plan, filter).empty());
  filter.room = "cold_store";
  CHECK(unknown_name(plan, filter).empty());
  filter.crew = "poting";
  CHECK(unknown_name(plan, filter) ==
        "There is no crew `poting` in this book. Did you mean `potting`?");
  filter.batch = "Z9999";
  CHECK(unknown_name(plan, filter) == "There is no batch `Z9999` in this book.");
}
