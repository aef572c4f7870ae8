#include <map>

#include "book/batches/batch.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

TEST_CASE(
    "what a batch says of an order that it does not have is told once, not for each cultivar") {
  Planned planned(R"(protocol p "P" { part plant
    stage sow of plant { lasts 5 days  do "Sow" on day 1 { time 1 h } } })");
  const auto done = book::OrderDay{"sow/1/7", *calendar::parse_iso_date("2027-05-03"), {}};
  planned.add("A-c1", 80, "2027-05-07").done.push_back(done);
  book::Batch& second = planned.add("A-c2", 200, "2027-05-07");
  second.done.push_back(done);
  second.lead = false;
  const std::string problems = planned.problems();
  CHECK(problems.find("unknown-order") != std::string::npos);
  CHECK(problems.find("unknown-order") == problems.rfind("unknown-order"));
}

TEST_CASE("cultivars count for themselves and share the work that does not grow with them") {
  Planned planned(R"(protocol p "P" {
    supply alcohol in mL
    supply label in labels
    supply tray in trays reused
    part plant
    stage sow of plant {
      lasts 5 days
      loses 20 %
      do "Wipe the bench" { time 30 min  use 50 mL alcohol }
      do "Sow" on day 1 { rate 100 per hour  setup 20 min  use 1 tray per 72  use 1 label per tray }
      do "Water" daily { time 10 min }
    }
  })");
  planned.add("A-c1", 80, "2027-05-07").cultivar = "Bonita";
  book::Batch& second = planned.add("A-c2", 200, "2027-05-07");
  second.cultivar = "Rex";
  second.lead = false;
  const Plan& plan = planned.plan();
  std::map<std::string, double> minutes;
  std::map<std::string, double> labels;
  std::map<std::string, int> orders;
  for (const WorkOrder& order : plan.orders) {
    const OrderDetail detail = describe(plan, order);
    const std::string key = detail.cultivar + " " + detail.title;
    minutes[key] += detail.person_seconds / 60;
    ++orders[key];
    for (const SupplyAmount& use : detail.supplies) {
      if (use.supply == "label") labels[key] += use.amount;
    }
  }
  CHECK(minutes["Bonita Wipe the bench"] == 30);
  CHECK(orders["Rex Wipe the bench"] == 0);
  CHECK(orders["Bonita Water"] == 5);
  CHECK(orders["Rex Water"] == 0);
  // 100 seeds at 100 an hour and 20 minutes before; 250 seeds and no more setting up.
  CHECK(minutes["Bonita Sow"] == doctest::Approx(80));
  CHECK(minutes["Rex Sow"] == doctest::Approx(150));
  CHECK(labels["Bonita Sow"] == 2);
  CHECK(labels["Rex Sow"] == 4);
}
