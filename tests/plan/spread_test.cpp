#include "book/book.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// Potting at 100 an hour by one person who works 6 hours a day.
std::string potting(const std::string& timing) {
  return R"(protocol p "P" {
    supply pot in pots
    part plant
    stage pot of plant {
      lasts 5 days
      do "Pot" )" +
         timing + R"( { rate 100 per hour  crew potters  use 1 pot each }
    }
  })";
}

std::string orders_of(Planned& planned) {
  book::Crew potters;
  potters.hours = 6 * 3600.0;
  planned.site().crews["potters"] = potters;
  const Plan& plan = planned.plan();
  std::string out;
  for (const WorkOrder& order : plan.orders) {
    const OrderDetail detail = describe(plan, order);
    out += detail.id + " " + calendar::iso_date(detail.date) + " " +
           std::to_string(static_cast<int>(detail.plants)) + " plants " +
           std::to_string(static_cast<int>(detail.supplies[0].amount)) + " pots " +
           std::to_string(static_cast<int>(detail.person_seconds / 60)) + " min\n";
  }
  for (const Conflict& conflict : plan.conflicts) out += conflict.code + "\n";
  return out;
}

}  // namespace

TEST_CASE("work that a crew can do in a day is one order") {
  Planned planned(potting("on day 1 within 3 days"));
  planned.add("A", 600, "2027-05-07");
  CHECK(orders_of(planned) == "A/pot/1/1 2027-05-03 600 plants 600 pots 360 min\n");
}

TEST_CASE("work that is more than that goes on over the next working days inside its limits") {
  Planned planned(potting("on day 1 within 3 days"));
  planned.add("A", 1000, "2027-05-07");
  CHECK(orders_of(planned) ==
        "A/pot/1/1 2027-05-03 500 plants 500 pots 300 min\n"
        "A/pot/1/1.2 2027-05-04 500 plants 500 pots 300 min\n");
  Planned three(potting("on day 1 within 3 days"));
  three.add("A", 1301, "2027-05-07");
  CHECK(orders_of(three) ==
        "A/pot/1/1 2027-05-03 434 plants 434 pots 260 min\n"
        "A/pot/1/1.2 2027-05-04 434 plants 434 pots 260 min\n"
        "A/pot/1/1.3 2027-05-05 433 plants 433 pots 260 min\n");
}

TEST_CASE("work is not split where that ends it no earlier") {
  Planned planned(potting("on day 1 within 3 days"));
  planned.add("A", 800, "2027-05-07");
  book::Crew potters;
  potters.hours =
      book::WeekHours({4 * 3600.0, 8 * 3600.0, 8 * 3600.0, 8 * 3600.0, 8 * 3600.0, 0, 0});
  planned.site().crews["potters"] = potters;
  const Plan& plan = planned.plan();
  REQUIRE(plan.orders.size() == 1);
  CHECK(calendar::iso_date(plan.orders[0].date) == "2027-05-04");
}

TEST_CASE("work that would end on the same day in parts stays whole") {
  Planned planned(potting("on day 1 within 3 days"));
  planned.add("A", 800, "2027-05-07");
  // Half of it on Monday and half on Wednesday would be over on Wednesday too.
  book::Crew potters;
  potters.hours =
      book::WeekHours({4 * 3600.0, 2 * 3600.0, 8 * 3600.0, 8 * 3600.0, 8 * 3600.0, 0, 0});
  planned.site().crews["potters"] = potters;
  const Plan& plan = planned.plan();
  REQUIRE(plan.orders.size() == 1);
  CHECK(calendar::iso_date(plan.orders[0].date) == "2027-05-05");
}

TEST_CASE("shares that just fill a day fit, whatever the fractions") {
  for (int tenths = 11; tenths <= 79; ++tenths) {
    CAPTURE(tenths);
    Planned planned(potting("on day 1 within 4 days"));
    // Three days of work at 100 an hour.
    planned.add("A", 30 * tenths, "2027-05-07");
    book::Crew potters;
    potters.hours = tenths / 10.0 * 3600.0;
    planned.site().crews["potters"] = potters;
    const Plan& plan = planned.plan();
    CHECK(plan.orders.size() == 3);
    CHECK(plan.conflicts.empty());
  }
}

TEST_CASE("work that does not fit at all is a conflict, with what would help") {
  Planned planned(potting("on day 1 within 2 days"));  // due on a Sunday
  planned.add("A", 1301, "2027-05-07");
  CHECK(orders_of(planned) ==
        "A/pot/1/1 2027-05-03 651 plants 651 pots 390 min\n"
        "A/pot/1/1.2 2027-05-04 650 plants 650 pots 390 min\n"
        "too-much-work\n");
  const Plan& plan = planned.plan();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts[0].message ==
        "\"Pot\" on Mon 2027-05-03 is 13 h of work, and crew `potters` does 6 h a day.");
  CHECK(
      texts_of(plan.conflicts[0].repairs) ==
      std::vector<std::string>{"Give it 3 working days: `within 3 days`, in a stage that lasts so "
                               "long.",  // due on Sunday, done by Wednesday
                               "Have 1.01 h more of the crew's time for it."});
}

TEST_CASE("a crew that the site does not describe is not held to anything") {
  Planned planned(potting("on day 1"));
  planned.add("A", 100'000, "2027-05-07");
  CHECK(planned.plan().orders.size() == 1);
  CHECK(planned.plan().conflicts.empty());
}
