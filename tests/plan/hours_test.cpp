#include "book/batches/batch.hpp"
#include "book/site/crew.hpp"
#include "plan/orders/order.hpp"
#include "under_way.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// Eleven days from Monday 3 May 2027 on; worked Monday to Friday.
const char* const cuts = R"(protocol p { part plant
  stage graft of plant { lasts 11 days
    do "Unclip" daily from day 4 to day 4 { time 10 min }
    do "Half cut" between day 3 and day 5 in the afternoon { time 2 h  crew hands }
    do "Cut through" between day 6 and last day after "Half cut" { time 2 h  crew hands }
    do "Other work" on day 3 first { time 5 h  crew hands }
    do "Open" on day 4 at 9:00 { time 10 min }
    do "Cover" at start after "Dip" { time 10 min }
    do "Dip" on day 1 in the evening { time 10 min } } })";

struct Cuts : Planned {
  explicit Cuts(const std::string& protocol = cuts) : Planned(protocol) {
    book::Crew crew;
    crew.people = 1;
    crew.hours = book::WeekHours(6 * 3600);
    site().crews["hands"] = crew;
    add("A", 10, "2027-05-14");
  }
};

std::string days_and_titles(const Plan& plan) {
  std::string out;
  for (const WorkOrder& order : plan.orders) {
    const OrderDetail detail = describe(plan, order);
    out += calendar::iso_date(order.date).substr(8) + " " + detail.title +
           (detail.hours.empty() ? "" : " (" + detail.hours + ")") + "\n";
  }
  return out;
}

}  // namespace

TEST_CASE("work of any of several days goes where hands are, works of a day in their order") {
  Cuts planned;
  CHECK(days_and_titles(planned.plan()) ==
        "03 Dip (in the evening)\n"
        "03 Cover (after \"Dip\")\n"
        "05 Other work (first of the day)\n"
        "06 Open (at 09:00)\n"
        "06 Unclip\n"
        "06 Half cut (in the afternoon)\n"
        "10 Cut through (after \"Half cut\")\n");
}

TEST_CASE("an order of any day says until when another one will do") {
  Cuts planned;
  const Plan& plan = planned.plan();
  for (const WorkOrder& order : plan.orders) {
    const OrderDetail detail = describe(plan, order);
    if (detail.title != "Half cut") continue;
    CHECK(detail.notes.back() == "Any day to 2027-05-07 will do.");
  }
}

TEST_CASE("where no day has hours enough, the one with most of them left is taken") {
  Cuts planned(R"(protocol p { part plant
    stage graft of plant { lasts 11 days
      do "A" on day 3 { time 5 h  crew hands }
      do "B" on day 4 { time 4.5 h  crew hands }
      do "C" on day 5 { time 5.5 h  crew hands }
      do "Cut" between day 3 and day 5 { time 2 h  crew hands } } })");
  CHECK(days_and_titles(planned.plan()) == "05 A\n06 B\n06 Cut\n07 C\n");
}

TEST_CASE("what goes on overnight pushes what comes after it to the next day") {
  // Day 2 is a holiday: the soaking is late, so what follows it is too.
  Cuts planned(R"(protocol p { part plant
    stage sow of plant { lasts 11 days
      do "Soak" on day 2 within 3 days overnight { time 10 min  crew hands }
      do "Rinse" on day 3 within 3 days after "Soak" { time 10 min  crew hands }
      do "Look" on day 3 after "Rinse" { time 10 min } } })");
  using calendar::Weekday;
  planned.site().working = calendar::WorkingDays(
      {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
      {*calendar::parse_iso_date("2027-05-04")});
  CHECK(days_and_titles(planned.plan()) ==
        "05 Soak (overnight)\n06 Rinse (after \"Soak\")\n06 Look (after \"Rinse\")\n");
}

TEST_CASE("what was done late pushes what comes after it") {
  UnderWay batch(R"(protocol p { part plant
    stage sow of plant { lasts 12 days
      do "Soak" on day 2 overnight { time 10 min }
      do "Rinse" on day 3 after "Soak" { time 10 min } } })");
  batch.today("2027-05-27").started("sow", "2027-05-24").done("sow/1/1", "2027-05-27");
  const Plan& plan = batch.plan();
  CHECK(days_and_titles(plan) == "27 Soak (overnight)\n28 Rinse (after \"Soak\")\n");
}

TEST_CASE("work of any of several days is not put on days that are over") {
  // From Tuesday 25 to Saturday 29; nobody works on weekends, but work of nobody in particular.
  const auto cut_on = [](const std::string& today, const std::string& crew) {
    UnderWay batch(R"(protocol p { part plant
      stage sow of plant { lasts 12 days
        do "Cut" between day 2 and day 6 { time 2 h )" +
                   crew + "} } }");
    book::Crew hands;
    hands.people = 1;
    hands.hours = book::WeekHours(6 * 3600);
    batch.site().crews["hands"] = hands;
    using calendar::Weekday;
    batch.site().working = calendar::WorkingDays(
        {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
        {});
    batch.today(today).started("sow", "2027-05-24");
    const WorkOrder& order = batch.plan().orders.front();
    return calendar::iso_date(order.date) + " " + std::string(word(order.state));
  };
  CHECK(cut_on("2027-05-24", "crew hands") == "2027-05-25 open");
  CHECK(cut_on("2027-05-27", "crew hands") == "2027-05-27 open");
  // When none is left, it stands on the last one on which somebody was there.
  CHECK(cut_on("2027-05-29", "crew hands") == "2027-05-28 overdue");
  CHECK(cut_on("2027-06-01", "crew hands") == "2027-05-28 overdue");
  CHECK(cut_on("2027-05-29", "") == "2027-05-29 open");
  CHECK(cut_on("2027-06-01", "") == "2027-05-29 overdue");
}

TEST_CASE("a gate holds what was seen of one part against the other, one way or another") {
  const std::string protocol = R"(protocol p {
    observe scion_stem in mm
    observe stock_stem in mm
    observe leaves in leaves
    part scion
    part stock
    part plant
    stage scion_grows of scion {
      lasts 12 to 20 days usually 16 days
      until scion_stem >= stock_stem - 0.2 mm or leaves >= 5 leaves, at most 20 days
      do "Measure" daily { time 5 min  record scion_stem  record leaves } }
    stage stock_grows of stock { lasts 16 days
      do "Measure" daily { time 5 min  record stock_stem } }
    stage joining joins scion with stock into plant { lasts 3 days } })";
  const auto seen = [](UnderWay& batch, const std::string& what, const std::string& stage,
                       const std::string& date, double value, const std::string& unit) {
    record::Entry one;
    one.what = record::What::seen;
    one.batch = "A";
    one.place = stage;
    one.name = what;
    one.day = day(date);
    one.number = value;
    one.unit = unit;
    batch.book().history.push_back(one);
  };
  UnderWay batch(protocol);
  batch.today("2027-05-28")
      .started("scion_grows", "2027-05-10")
      .started("stock_grows", "2027-05-12");
  seen(batch, "stock_stem", "stock_grows", "2027-05-20", 2.0, "mm");
  seen(batch, "scion_stem", "scion_grows", "2027-05-22", 1.7, "mm");
  CHECK(batch.dates().find("scion_grows 05-10 05-28") != std::string::npos);
  SUBCASE("thick enough") {
    seen(batch, "scion_stem", "scion_grows", "2027-05-25", 1.8, "mm");
    CHECK(batch.dates().find("scion_grows 05-10 05-25") != std::string::npos);
  }
  SUBCASE("or with leaves enough") {
    seen(batch, "leaves", "scion_grows", "2027-05-26", 5, "");
    CHECK(batch.dates().find("scion_grows 05-10 05-26") != std::string::npos);
  }
}
