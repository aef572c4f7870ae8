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
        "A/pot/1/1 2027-05-03 433 plants 433 pots 260 min\n"
        "A/pot/1/1.2 2027-05-04 434 plants 434 pots 260 min\n"
        "A/pot/1/1.3 2027-05-05 434 plants 434 pots 260 min\n");
}

TEST_CASE("work that does not fit at all is a conflict, with what would help") {
  Planned planned(potting("on day 1 within 2 days"));  // due on a Sunday
  planned.add("A", 1301, "2027-05-07");
  CHECK(orders_of(planned) ==
        "A/pot/1/1 2027-05-03 650 plants 650 pots 390 min\n"
        "A/pot/1/1.2 2027-05-04 651 plants 651 pots 390 min\n"
        "too-much-work\n");
  const Plan& plan = planned.plan();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts[0].message ==
        "\"Pot\" on Mon 2027-05-03 is 13 h of work, and crew `potters` does 6 h a day.");
  CHECK(
      plan.conflicts[0].repairs ==
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

namespace {

/// Potters with hours by weekday or leave.
std::string orders_with(Planned& planned, book::Crew potters) {
  planned.site().crews["potters"] = std::move(potters);
  std::string out;
  for (const WorkOrder& order : planned.plan().orders) {
    out += calendar::iso_date(order.date) + " " +
           std::to_string(static_cast<int>(person_seconds(planned.plan(), order) / 60)) + " min\n";
  }
  for (const Conflict& conflict : planned.plan().conflicts) {
    out += conflict.message + "\n";
    for (const std::string& repair : conflict.repairs) out += repair + "\n";
  }
  return out;
}

constexpr double hour = 3600;

/// Monday to Sunday.
book::WeekHours week(const std::array<double, 7>& seconds) {
  return book::WeekHours(seconds);
}

}  // namespace

TEST_CASE("work goes on over days on which the crew is there for an equal share of it") {
  // Monday 3 May to Friday 7 May; on Tuesday it is there for one hour only.
  const book::Crew potters{1, week({6 * hour, hour, 6 * hour, 0, 6 * hour, 0, 0}), {}, {}};
  Planned two(potting("on day 1 within 4 days"));
  two.add("A", 1000, "2027-05-08");
  CHECK(orders_with(two, potters) == "2027-05-03 300 min\n2027-05-05 300 min\n");
  Planned three(potting("on day 1 within 4 days"));
  three.add("A", 1500, "2027-05-08");
  CHECK(orders_with(three, potters) ==
        "2027-05-03 300 min\n2027-05-05 300 min\n2027-05-07 300 min\n");
}

TEST_CASE("work moves to a day on which its crew is there, if it may") {
  book::Crew potters{2, 6 * hour, {}, {}};
  const calendar::Day monday = *calendar::parse_iso_date("2027-05-03");
  potters.leave.push_back({monday, monday, 2, {}});
  Planned moves(potting("on day 1 within 3 days"));
  moves.add("A", 600, "2027-05-08");
  CHECK(orders_with(moves, potters) == "2027-05-04 360 min\n");
  Planned stays(potting("on day 1"));
  stays.add("A", 600, "2027-05-08");
  CHECK(orders_with(stays, potters) ==
        "2027-05-03 360 min\n"
        "\"Pot\" on Mon 2027-05-03 is 6 h of work, and crew `potters` is not there.\n"
        "Give it 1 working day: `within 1 day`, in a stage that lasts so long.\n"
        "Have 6 h more of the crew's time for it.\n");
}

TEST_CASE("work that is too much for unequal days says what they have in all") {
  const book::Crew potters{1, week({6 * hour, 2 * hour, 6 * hour, 0, 0, 0, 0}), {}, {}};
  Planned planned(potting("on day 1 within 1 day"));
  planned.add("A", 1000, "2027-05-08");
  CHECK(orders_with(planned, potters) ==
        "2027-05-03 300 min\n2027-05-04 300 min\n"
        "\"Pot\" on Mon 2027-05-03 is 10 h of work, and crew `potters` has 8 h in the time there "
        "is for it.\n"
        "Give it 2 working days: `within 2 days`, in a stage that lasts so long.\n"
        "Have 2 h more of the crew's time for it.\n");
}
