#include "plan/orders/contingencies.hpp"

#include "book/book.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// Union on Friday 14 May after a healing of 10 to 21 days, usually 15: Thursday 29 April on.
std::string healing(const std::string& statements) {
  return R"(protocol budding "Chip budding" {
    observe take in % "buds that hold, 40 looked at"
    observe rot
    supply wax in mL hazard heat
    part bud
    stage healing of bud {
      lasts 10 to 21 days usually 15 days
)" + statements +
         "\n  }\n}\n";
}

const std::string every_third = "do \"Look\" every 3 days from day 2 { time 5 min  record take }\n";

std::string notes_of(const std::string& statements) {
  Planned planned(healing(statements));
  planned.add("A", 40, "2027-05-14");
  const Plan& plan = planned.plan();
  std::string out;
  for (const WorkOrder& order : plan.orders) {
    for (const std::string& note : describe(plan, order).notes) {
      out += order_id(plan, order) + " " + note + "\n";
    }
  }
  for (const Note& note : plan.notes) out += note.batch + " " + note.message + "\n";
  return out;
}

double hours_of(const std::string& statements) {
  Planned planned(healing(statements));
  planned.add("A", 40, "2027-05-14");
  const Plan& plan = planned.plan();
  const sheet::Sheet& sheet = plan.sheets.front();
  return sheet.value(sheet.layout().hours, 0) / 3600;
}

}  // namespace

TEST_CASE("the last look on the day or before it carries what is then to be done") {
  // Looks on days 2, 5, 8, 11, 14; day 12 is 10 May.
  CHECK(notes_of(every_third +
                 R"(if take < 60 % on day 12 {
                      warn "Slow take: feel the soil first"
                      do "Wax again" { time 20 min  crew grafters  use 2 mL wax each
                        caution "Wax at 70 degC" }
                    })") ==
        "A/healing/1/4 If take < 60 % on day 12 (2027-05-10): Slow take: feel the soil first. "
        "Then: \"Wax again\" (time 20 min; crew grafters; use 2 mL wax each). Caution: Wax at 70 "
        "degC. Heat: let hot things cool down or wear heat-proof gloves; keep clear of steam; in "
        "hot air drink water and take breaks. Follow the product label and your local rules; work "
        "that the law reserves to licensed people stays with them.\n");
}

TEST_CASE("where nobody looks so early the first look after it carries it") {
  CHECK(notes_of(every_third + "if take < 5 % on day 1 { warn \"Too cold?\" }") ==
        "A/healing/1/1 If take < 5 % on day 1 (2027-04-29): Too cold?\n");
  CHECK(notes_of(every_third + "if take < 5 % on day 2 { do \"Shade\" }") ==
        "A/healing/1/1 If take < 5 % on day 2 (2027-04-30): \"Shade\".\n");
}

TEST_CASE("what comes only when the stage lasts longer is told by the last look, and says so") {
  CHECK(notes_of(every_third + "if take < 90 % on day 19 { warn \"Give up.\" }") ==
        "A/healing/1/5 If take < 90 % on day 19 (2027-05-17, should the stage last so long): Give "
        "up.\n");
  CHECK(notes_of(every_third + "if take < 90 % on last day { warn \"Give up.\" }") ==
        "A/healing/1/5 If take < 90 % on the last day (2027-05-13): Give up.\n");
}

TEST_CASE("of several works that look the later one carries it, once") {
  const std::string rot = "do \"Smell\" on day 8 { time 5 min  record rot }\n";
  CHECK(notes_of(every_third + rot + "if take < 60 % and not rot on day 9 { warn \"Wait.\" }") ==
        "A/healing/2/1 If take < 60 % and not rot on day 9 (2027-05-07): Wait.\n");
  CHECK(notes_of(rot + every_third + "if take < 60 % and rot on day 9 { warn \"Wait.\" }") ==
        "A/healing/2/3 If take < 60 % and rot on day 9 (2027-05-07): Wait.\n");
}

TEST_CASE("several things to do stand in one line, their cautions once") {
  CHECK(notes_of(every_third +
                 R"(if take < 60 % on day 5 {
                      do "Wax" { use 2 mL wax each  caution "Hot."  note "Thinly" }
                      do "Melt more" { use 1 mL wax each  caution "Hot." }
                    })") ==
        "A/healing/1/2 If take < 60 % on day 5 (2027-05-03): \"Wax\" (use 2 mL wax each); \"Melt "
        "more\" (use 1 mL wax each). Thinly. Caution: Hot. Heat: let hot things cool down or wear "
        "heat-proof gloves; keep clear of steam; in hot air drink water and take breaks. Follow "
        "the product label and your local rules; work that the law reserves to licensed people "
        "stays with them.\n");
}

TEST_CASE("a turn that finds nobody at work carries nothing") {
  // Day 3 is Saturday 1 May, when the crew is off.
  const std::string looks =
      "do \"Look\" every 1 day from day 1 { time 5 min  crew grafters  record take }\n";
  const std::string notes = notes_of(looks + "if take < 5 % on day 4 { warn \"Air.\" }");
  CHECK(notes.find("A/healing/1/2 If take < 5 % on day 4 (2027-05-02): Air.\n") !=
        std::string::npos);
}

TEST_CASE("spread work carries it on its last day") {
  Planned planned(
      healing("do \"Look\" on day 5 within 4 days { time 10 min each  crew grafters  "
              "record take }\nif take < 5 % on day 6 { warn \"Air.\" }"));
  book::Crew grafters;
  grafters.hours = 4 * 3600.0;
  planned.site().crews["grafters"] = grafters;
  planned.add("A", 40, "2027-05-14");
  const Plan& plan = planned.plan();
  REQUIRE(plan.orders.size() == 2);
  CHECK(describe(plan, plan.orders[0]).notes.size() == 1);
  const auto notes = describe(plan, plan.orders[1]).notes;
  REQUIRE(notes.size() == 2);
  CHECK(notes[0] == "If take < 5 % on day 6 (2027-05-04): Air.");
}

TEST_CASE("what nobody looks for is a note of the batch") {
  CHECK(notes_of("if take < 5 % on day 6 { warn \"Air.\" }") ==
        "A In `healing` nobody looks for this, so no work order says it: If take < 5 % on day 6 "
        "(2027-05-04): Air.\n");
}

TEST_CASE("a condition changes neither dates nor hours nor needs") {
  const std::string condition =
      "if take < 60 % on day 12 { do \"Wax again\" { time 20 h  use 2 mL wax each } }";
  CHECK(hours_of(every_third + condition) == doctest::Approx(5 * 5 / 60.0));
  Planned planned(healing(every_third + condition));
  planned.add("A", 40, "2027-05-14");
  const Plan& plan = planned.plan();
  CHECK(plan.orders.size() == 5);
  CHECK(plan.conflicts.empty());
  for (const WorkOrder& order : plan.orders) CHECK(describe(plan, order).supplies.empty());
}

TEST_CASE("a condition on a day that never comes is refused") {
  Planned planned(healing(every_third + "if take < 60 % on day 22 { warn \"Air.\" }"));
  planned.add("A", 40, "2027-05-14");
  CHECK(planned.problems() ==
        "outside-stage This `if` would never come: `healing` lasts 21 days at most. Move it into "
        "the stage, or to the stage that follows.\n"
        "not-planned Batch `A` is not planned: its protocol has errors. Mend them, or waive a rule "
        "that does not apply.\n");
}

TEST_CASE("each of many conditions is carried once, by its own look") {
  // Looks are daily, also at the weekend, for ten years.
  std::string text =
      "protocol slow { observe rot  part bud  stage st of bud { lasts 3650 days\n"
      "do \"Look\" daily { time 5 min  record rot }\n";
  for (int day = 200; day > 0; --day) {
    text += "if rot on day " + std::to_string(day) + " { warn \"Told\" }\n";
  }
  Planned planned(text + "} }");
  planned.add("A", 40, "2037-05-14");
  const Plan& plan = planned.plan();
  CHECK(plan.contingencies.size() == 200);
  for (const WorkOrder& order : plan.orders) {
    std::size_t told = 0;
    for (const std::string& note : describe(plan, order).notes) {
      if (note.starts_with("If rot on day " + std::to_string(order.occurrence) + " (")) ++told;
    }
    REQUIRE(told == (order.occurrence <= 200 ? 1 : 0));
  }
}
