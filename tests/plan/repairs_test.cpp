#include <algorithm>

#include "plan/plan.hpp"
#include "plan/trials/what_if.hpp"
#include "under_way.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// The changes that would help, each tried, a line each: after it the conflict is gone, or it is
/// told that it is not.
std::string helpful(Planned& planned) {
  const Plan before = planned.plan();
  REQUIRE(!before.conflicts.empty());
  std::string out;
  for (const Conflict& conflict : before.conflicts) {
    for (const Repair& repair : conflict.repairs) {
      if (repair.change.empty()) continue;
      text::Sources sources;
      text::Diagnostics said;
      const auto tried = what_if(before, {repair.change}, sources, said);
      REQUIRE_MESSAGE(tried.has_value(), repair.change);
      const Plan after = make_plan(tried->book, said);
      const bool there =
          std::any_of(after.conflicts.begin(), after.conflicts.end(), [&](const Conflict& one) {
            return one.batch == conflict.batch && one.code == conflict.code;
          });
      out += (there ? "in vain: " : "") + repair.change + "\n";
    }
  }
  return out;
}

book::Placed<calendar::Day> on(const std::string& date) {
  return {day(date), {}};
}

/// Four days in a chamber, a tray for 50.
const std::string sprouting = R"(protocol sprouts "Sprouts" {
  part plant
  stage sprout of plant { lasts 4 days  room chamber  space ceil(plants / 50) trays }
})";

void hold(Planned& planned, const std::string& room, const std::string& limit) {
  std::string noun;
  book::Written holds;
  holds.text = limit;
  holds.quantity = *units::parse_quantity(limit, &noun);
  planned.site().rooms[room].holds = holds;
}

}  // namespace

TEST_CASE("a date that is fixed too late is moved, or the batch is ready later") {
  Planned planned(layering);
  planned.add("A", 100, "2027-06-11")
      .pins.push_back({"wound", book::Pin::Side::start, day("2027-06-01"), {}});
  CHECK(helpful(planned) == "A.ready=2027-06-22\nA.wound.start=2027-05-21\n");
}

TEST_CASE("a batch that cannot start on its day starts on the nearest one") {
  Planned planned(layering);
  book::Batch& batch = planned.add("A", 100, "2027-06-11");
  batch.ready.reset();
  batch.start = on("2027-05-01");  // a Saturday
  CHECK(helpful(planned) == "A.start=2027-04-30\n");
}

TEST_CASE("fewer are promised when too few came through") {
  Planned planned(layering);
  planned.add("A", 100, "2027-06-11").counted.push_back({"wound", 110, {}});
  CHECK(helpful(planned) == "A.plants=88\n");
}

TEST_CASE("where too few are left for a join nothing is said of the order") {
  Planned planned(R"(protocol p "P" {
  part scion  part stock  part plant
  stage raise of scion { lasts 10 days }
  stage root of stock { lasts 10 days }
  stage graft joins scion with stock into plant { lasts 1 day }
  })");
  planned.add("A", 100, "2027-06-11").counted.push_back({"root", 40, {}});
  const Plan plan = planned.plan();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts[0].code == "too-few");
  CHECK(plan.conflicts[0].message ==
        "40 plants came through `root`, and `graft` wants 100 plants.");
  for (const Repair& repair : plan.conflicts[0].repairs) {
    CHECK(repair.text.find("Promise") == std::string::npos);
  }
}

TEST_CASE("half a plant is missed by nobody") {
  // 101 that came through leave 99.99.
  Planned planned(R"(protocol p "P" {
  part plant
  stage grow of plant { lasts 10 days }
  stage sale of plant { lasts 1 day  loses 1 % }
  })");
  planned.add("A", 100, "2027-06-11").counted.push_back({"grow", 101, {}});
  CHECK(planned.plan().conflicts.empty());
}

TEST_CASE("a batch under way that will be late is promised for the day on which it is ready") {
  UnderWay book;
  book.started("sow", "2027-05-20").today("2027-05-21");
  CHECK(helpful(book) == "A.ready=2027-06-21\n");
}

TEST_CASE("the last to come is moved out of a room that is full, whatever holds its date") {
  Planned planned(sprouting);
  hold(planned, "chamber", "7 trays");
  planned.add("A", 200, "2027-05-07");
  planned.add("B", 200, "2027-05-10");
  CHECK(helpful(planned) == "B.ready=2027-05-11\nB.ready=2027-05-03\n");
  book::Batch& second = planned.book().batches[1];
  second.ready.reset();
  second.start = on("2027-05-05");
  // It would stand over a Sunday, and so a day longer.
  CHECK(helpful(planned) == "B.start=2027-05-07\nB.start=2027-04-28\n");
  second.start.reset();
  second.not_before = on("2027-05-05");  // which plans its start for the 6th
  CHECK(helpful(planned) == "B.not_before=2027-05-07\nB.not_before=2027-04-29\n");
}

TEST_CASE("a batch comes when the one that wants another climate has left") {
  Planned planned(R"(protocol palms { part plant
  input warm = 24 degC from 5 degC to 40 degC
  stage rooting of plant { lasts 10 days  room glass  keep air warm }
  })");
  planned.add("A", 10, "2027-06-11");
  planned.add("B", 10, "2027-06-16").set["warm"] = quantity("18 degC");
  CHECK(helpful(planned) == "B.ready=2027-06-21\n");
}
