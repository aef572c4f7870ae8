#include "plan/level/make_up.hpp"

#include "plan/level/propose.hpp"
#include "under_way.hpp"

/// Batches that fill what another one came short of.
using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// Of 100 plants 60 came through the first stage, with three weeks to go.
UnderWay short_of_forty() {
  UnderWay book;
  book.started("sow", "2027-05-03").ended("sow", "2027-05-13").today("2027-05-13");
  book.batch().counted.push_back({"sow", 60, {}});
  return book;
}

std::int64_t missing(UnderWay& book) {
  const Plan& plan = book.plan();
  return missing_plants(plan, plan.batches.front());
}

}  // namespace

TEST_CASE("what is missing is what was ordered less what is expected by the count") {
  UnderWay all;
  CHECK(missing(all) == 0);
  UnderWay book = short_of_forty();
  CHECK(missing(book) == 40);
  book.batch().stopped = book::Placed<calendar::Day>{day("2027-05-14"), {}};
  CHECK(missing(book) == 100);
}

TEST_CASE("a make-up batch is of the same method, and ready as early as what begins today can be") {
  UnderWay book = short_of_forty();
  const Plan& plan = book.plan();
  const auto batch = make_up_batch(plan, plan.batches.front(), 40);
  REQUIRE(batch);
  CHECK(batch->id.value == "A-M1");
  CHECK(batch->protocol.value == "p");
  CHECK(batch->plants.value == 40);
  // From Thursday 13 May: 10, 14 and 7 days, and the weekends between.
  CHECK(calendar::iso_date(batch->ready->value) == "2027-06-14");
  text::Diagnostics told;
  const Proposal found = propose(book.book(), {*batch}, {}, told);
  REQUIRE(found.batches.size() == 1);
  CHECK(found.unmet.empty());
  CHECK(calendar::iso_date(found.batches[0].starts) == "2027-05-14");  // as late as can be
}

TEST_CASE("a batch that is wanted late enough is made up for by the same day") {
  UnderWay book = short_of_forty();
  book.batch().ready->value = day("2027-09-03");
  const Plan& plan = book.plan();
  CHECK(make_up_batch(plan, plan.batches.front(), 40)->ready->value == day("2027-09-03"));
}

TEST_CASE("an id is made that no other batch has") {
  UnderWay book = short_of_forty();
  book.add("A-M1", 10, "2027-07-02");
  const Plan& plan = book.plan();
  CHECK(make_up_batch(plan, plan.batches.front(), 40)->id.value == "A-M2");
}

TEST_CASE("without a day to go on from nothing is proposed") {
  UnderWay book;
  const Plan& plan = book.plan();
  CHECK(!make_up_batch(plan, plan.batches.front(), 40));
}
