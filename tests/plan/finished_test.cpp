#include "plan/stock/finished.hpp"

#include <algorithm>
#include <map>
#include <random>

#include "../day.hpp"
#include "plan/demand/demand.hpp"
#include "plan/needs/costs.hpp"
#include "plan/trials/what_if.hpp"
#include "planned.hpp"

/// Plants that are ready already, and batches that take them.
namespace budwood::plan::test {

namespace {

using budwood::tests::day;

const std::string pansies = R"(protocol pansies "Pansies" {
  supply tray "Tray" in trays footprint 30 cm by 50 cm
  part plant
  stage sow of plant { lasts 1 day  do "Sow" { time 1 h  use 1 tray per 72 } }
  stage grow of plant { lasts 10 days  loses 10 % }
})";

book::Finished finished(int plants, const std::string& until = "") {
  book::Finished out;
  out.of.value = "pansies";
  out.plants = plants;
  if (!until.empty()) out.until = book::Placed<calendar::Day>{day(until), {}};
  return out;
}

struct Bed {
  Bed() : planned(pansies) {}
  const BatchPlan& batch(std::size_t number) { return planned.plan().batches[number]; }
  double started(std::size_t number) {
    const Plan& plan = planned.plan();
    const sheet::Row row = plan.row_of(plan.batches[number]);
    CHECK(plan.batches[number].dated);
    return row.value(row.cells(language::StageId(0)).plants);
  }
  double taken(std::size_t number) { return batch(number).from_stock; }
  std::size_t orders() { return planned.plan().orders.size(); }

  Planned planned;
};

}  // namespace

TEST_CASE("what is ready already need not be raised") {
  Bed bed;
  bed.planned.add("A", 600, "2027-05-31");
  CHECK(bed.started(0) == 667);  // 600 / 0.9
  bed.planned.site().finished["east"] = finished(60);
  CHECK(bed.taken(0) == 60);
  CHECK(bed.started(0) == 600);  // 540 / 0.9
  CHECK(bed.batch(0).raised);
  CHECK(taken_text(bed.planned.plan(), 0) == "60 from `east`");
}

TEST_CASE("a batch of which all is there has no work") {
  Bed bed;
  bed.planned.add("A", 60, "2027-05-31");
  CHECK(bed.orders() > 0);
  bed.planned.site().finished["east"] = finished(75);
  CHECK_FALSE(bed.batch(0).raised);
  CHECK_FALSE(bed.batch(0).dated);
  CHECK(bed.orders() == 0);
  CHECK(bed.planned.plan().finished.front().left() == 15);
}

TEST_CASE("plants serve what is ready while they are there, of their method and cultivar") {
  Bed bed;
  bed.planned.add("A", 600, "2027-05-31");
  book::Finished& east = bed.planned.site().finished["east"];
  const auto taken_of = [&](const book::Finished& one) {
    east = one;
    return bed.taken(0);
  };
  CHECK(taken_of(finished(60, "2027-05-31")) == 60);
  CHECK(taken_of(finished(60, "2027-05-30")) == 0);
  book::Finished one = finished(60);
  one.from = book::Placed<calendar::Day>{day("2027-06-01"), {}};
  CHECK(taken_of(one) == 0);
  one.from->value = day("2027-05-31");
  CHECK(taken_of(one) == 60);
  one = finished(60);
  one.counted = day("2027-06-01");
  CHECK(taken_of(one) == 0);
  one = finished(60);
  one.cultivar = "Blue";
  CHECK(taken_of(one) == 0);
  bed.planned.book().batches.front().cultivar = "Blue";
  CHECK(taken_of(one) == 60);
  one.of.value = "pansies.early";  // a variant of the method, which this batch does not follow
  east = one;
  CHECK(bed.planned.problems().starts_with("unknown-name There is no protocol named"));
}

TEST_CASE(
    "a batch that would be ready on another day with fewer leaves what is there, and says so") {
  std::string slow = pansies;
  slow.replace(slow.find("lasts 10 days"), 13, "lasts if plants > 620 then 12 days else 10 days");
  Planned planned(slow);
  book::Batch& batch = planned.add("A", 600, "2027-05-31");
  batch.ready.reset();
  batch.start = book::Placed<calendar::Day>{day("2027-05-03"), {}};
  planned.site().finished["east"] = finished(60);
  const Plan& plan = planned.plan();
  CHECK(plan.batches[0].from_stock == 0);
  CHECK(plan.row_of(plan.batches[0]).ready() == day("2027-05-17"));
  const auto told = std::count_if(plan.notes.begin(), plan.notes.end(), [](const Note& note) {
    return note.batch == "A" && note.message.starts_with("60 plants are there already");
  });
  CHECK(told == 1);
}

TEST_CASE("what expires first is taken first, and batches take as they are ready") {
  Bed bed;
  bed.planned.add("late", 50, "2027-06-14");
  bed.planned.add("early", 80, "2027-05-31");
  bed.planned.site().finished["a"] = finished(60);
  bed.planned.site().finished["b"] = finished(40, "2027-06-20");
  CHECK(taken_text(bed.planned.plan(), 1) == "40 from `a` and 40 from `b`");
  CHECK(taken_text(bed.planned.plan(), 0) == "20 from `a`");
}

TEST_CASE("what is over of a batch serves a later one for so many days") {
  Bed bed;
  bed.planned.add("A", 600, "2027-05-31").full_trays = book::Placed<bool>{true, {}};
  bed.planned.add("B", 600, "2027-06-14");
  CHECK(bed.taken(1) == 0);
  bed.planned.site().surplus["pansies"] = {14, {}};
  // 10 trays of 72 give 648.
  CHECK(bed.taken(1) == 48);
  CHECK(bed.started(1) == 614);  // 552 / 0.9
  CHECK(taken_text(bed.planned.plan(), 1) == "48 from what is over of A");
  bed.planned.site().surplus["pansies"] = {13, {}};
  CHECK(bed.taken(1) == 0);
  bed.planned.site().surplus["pansies"] = {14, {}};
  bed.planned.book().batches[0].stopped = book::Placed<calendar::Day>{day("2027-05-25"), {}};
  CHECK(bed.taken(1) == 0);
}

TEST_CASE("of a batch that has to be sure of its number only what is as sure is over") {
  Bed bed;
  book::Batch& first = bed.planned.add("A", 600, "2027-05-31");
  first.full_trays = book::Placed<bool>{true, {}};
  first.sure = book::Placed<double>{0.9, {}};
  bed.planned.add("B", 600, "2027-06-14");
  bed.planned.site().surplus["pansies"] = {30, {}};
  // Of 720 sown 638 or more come in 90 of 100 cases (binomial, share 0.9).
  CHECK(bed.taken(1) == 38);
}

TEST_CASE("a batch that was counted takes what it is short of, and nothing else changes") {
  Bed bed;
  book::Batch& batch = bed.planned.add("A", 600, "2027-05-31");
  bed.planned.site().finished["east"] = finished(60);
  CHECK(bed.started(0) == 600);
  // 600 came through sowing, as was foreseen.
  batch.counted.push_back({"sow", 600, {}});
  CHECK(bed.taken(0) == 60);
  CHECK(bed.started(0) == 600);
  CHECK(bed.planned.plan().conflicts.empty());
  batch.counted.back().plants = 650;  // 585 will come
  CHECK(bed.taken(0) == 15);
  CHECK(bed.planned.plan().conflicts.empty());
  batch.counted.back().plants = 500;  // 450
  CHECK(bed.taken(0) == 60);
  REQUIRE(bed.planned.plan().conflicts.size() == 1);
  CHECK(bed.planned.plan().conflicts.front().repairs.front().change == "A.plants=510");
}

TEST_CASE("a batch that has to be sure takes as many as make it sure") {
  Bed bed;
  book::Batch& batch = bed.planned.add("A", 600, "2027-05-31");
  bed.planned.site().finished["east"] = finished(200);
  batch.counted.push_back({"sow", 600, {}});
  batch.sure = book::Placed<double>{0.9, {}};
  // Of 600 sown 531 or more come in 90 of 100 cases (binomial, share 0.9).
  CHECK(bed.taken(0) == 69);
}

TEST_CASE(
    "what is there on the day it is wanted need not be raised, even if it is too late for that") {
  Bed bed;
  bed.planned.add("A", 60, "2027-05-31");
  bed.planned.site().finished["east"] = finished(75, "2027-06-02");
  bed.planned.book().today = day("2027-05-30");
  const Plan& plan = bed.planned.plan();
  CHECK_FALSE(plan.batches.front().raised);
  CHECK(*ready_on(plan, plan.batches.front()) == day("2027-05-31"));
  CHECK(plan.conflicts.empty());
  // Of a part the rest has to be raised, which is ready later than these plants serve.
  bed.planned.site().finished["east"].plants = 50;
  CHECK(bed.taken(0) == 0);
}

TEST_CASE("a protocol's surplus goes to all its variants, a variant's to its own") {
  Planned planned(pansies.substr(0, pansies.size() - 1) +
                  "  variant early \"Early\" { change stage grow { lasts 9 days } } }");
  book::Batch& first = planned.add("A", 600, "2027-05-31");
  first.full_trays = book::Placed<bool>{true, {}};
  planned.add("B", 600, "2027-06-14").protocol.value = "pansies.early";
  planned.site().surplus["pansies"] = {14, {}};
  CHECK(planned.problems().empty());
  CHECK(planned.plan().batches[1].from_stock == 48);
  planned.site().surplus.clear();
  planned.site().surplus["pansies.early"] = {14, {}};
  CHECK(planned.plan().batches[1].from_stock == 0);
}

TEST_CASE("promises and demand count what is ready already") {
  Bed bed;
  book::Batch& batch = bed.planned.add("A", 600, "2027-05-31");
  batch.promised.push_back({60, day("2027-05-10"), "", {}});
  batch.promised.push_back({540, day("2027-05-31"), "", {}});
  CHECK(bed.planned.plan().conflicts.size() == 1);
  bed.planned.site().finished["east"] = finished(60);
  CHECK(bed.planned.plan().conflicts.empty());
  {
    const Plan& plan = bed.planned.plan();
    const auto kept = promises_of(plan, plan.batches.front());
    REQUIRE(kept.size() == 2);
    CHECK(*kept.front().whole == day("2027-05-10"));
  }
  batch.promised.clear();
  batch.demand =
      book::Demand{{500, {}}, {600, {}}, {700, {}}, quantity("0.80"), quantity("3.20"), {}};
  const auto demand = [&] {
    const Plan& plan = bed.planned.plan();
    return demand_of(plan, plan.batches.front());
  };
  const auto with = demand();
  bed.planned.site().finished.clear();
  const auto without = demand();
  REQUIRE(with.has_value());
  REQUIRE(without.has_value());
  // As many are there.
  CHECK(with->planned.expected == doctest::Approx(without->planned.expected).epsilon(0.002));
  CHECK(with->planned.cost == doctest::Approx(without->planned.cost).epsilon(0.02));
}

TEST_CASE("finished plants are tried out like other stock") {
  Bed bed;
  bed.planned.add("A", 600, "2027-05-31");
  bed.planned.site().finished["east"] = finished(60);
  text::Sources sources;
  text::Diagnostics said;
  const auto tried = what_if(bed.planned.plan(), {"site.east.plants=100"}, sources, said);
  REQUIRE(tried.has_value());
  CHECK(make_plan(tried->book, said).batches.front().from_stock == 100);
  const auto plants = what_if(bed.planned.plan(), {"A.plants=50 more"}, sources, said);
  REQUIRE(plants.has_value());
  CHECK(plants->book.batches.front().plants.value == 650);
  CHECK_FALSE(what_if(bed.planned.plan(), {"site.east.plants=-1"}, sources, said).has_value());
  CHECK_FALSE(what_if(bed.planned.plan(), {"site.east.count=1"}, sources, said).has_value());
}

TEST_CASE("no plant is taken twice, before it is there or after it is gone") {
  std::mt19937 random(27);
  const auto up_to = [&](int most) {
    return static_cast<int>(random() % static_cast<unsigned>(most + 1));
  };
  int takers = 0;
  for (int round = 0; round < 150; ++round) {
    Bed bed;
    const int batches = 1 + up_to(5);
    for (int i = 0; i < batches; ++i) {
      book::Batch& one = bed.planned.add("B" + std::to_string(i), 1 + up_to(399), "2027-05-31");
      one.ready->value += 7 * up_to(5);
      one.full_trays = book::Placed<bool>{up_to(1) == 1, {}};
      if (up_to(2) == 0) one.sure = book::Placed<double>{0.9, {}};
    }
    const int lots = up_to(2);
    for (int i = 0; i < lots; ++i) {
      book::Finished one = finished(up_to(299));
      one.until = book::Placed<calendar::Day>{day("2027-05-31") + up_to(39), {}};
      bed.planned.site().finished["lot" + std::to_string(i)] = one;
    }
    bed.planned.site().surplus["pansies"] = {1 + up_to(29), {}};
    const Plan& plan = bed.planned.plan();
    std::map<std::uint32_t, double> taken;
    for (const FinishedStock& stock : plan.finished) {
      CHECK(stock.left() >= 0);
      for (const FinishedStock::Part& part : stock.parts) {
        CHECK(part.plants >= 1);
        const calendar::Day ready = *plan.row_of(plan.batches[part.batch]).ready();
        CHECK(stock.from <= ready);
        CHECK(ready <= stock.until);
        taken[part.batch] += part.plants;
      }
    }
    for (std::uint32_t i = 0; i < plan.batches.size(); ++i) {
      const BatchPlan& batch = plan.batches[i];
      CHECK(batch.from_stock == taken[i]);
      takers += batch.from_stock > 0 ? 1 : 0;
      const sheet::Row row = plan.row_of(batch);
      const auto ordered = static_cast<double>(plan.facts_of(batch).plants.value);
      CHECK(row.facts().plants + batch.from_stock == ordered);
      CHECK(batch.raised == (row.facts().plants > 0));
    }
  }
  CHECK(takers > 50);
}

}  // namespace budwood::plan::test
