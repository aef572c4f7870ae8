#include <string>

#include "../day.hpp"
#include "book/batches/batch.hpp"
#include "plan/needs/needs.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// Twelve days under mist, from Friday 28 May 2027 on; worked Monday to Friday.
const char* const misted = R"(protocol misted { part plant
  stage bench of plant { lasts 1 day  room bench  do "Stick" on day 1 { crew stickers } }
  stage wet of plant { lasts 12 days  room tent  mist 8 s every 20 min
    do "Look at nozzles" daily { time 10 min  tagged watch }
    do "Water" every 4 days from day 1 { time 10 min  tagged water }
    do "Pick over" daily { time 10 min } } })";

struct Misted : Planned {
  Misted() : Planned(misted) { add("A", 10, "2027-06-11"); }
  void give_duty() {
    book::Crew crew;
    crew.people = 3;
    crew.hours = book::WeekHours(6 * 3600);
    std::array<double, 7> hours{};
    hours[static_cast<std::size_t>(calendar::Weekday::saturday)] = 3600;
    hours[static_cast<std::size_t>(calendar::Weekday::sunday)] = 3600;
    crew.duty = book::Duty{book::WeekHours(hours), "one of three in turn", {}};
    site().crews["carers"] = crew;
  }
};

/// The days of June on which a work is done.
std::string days_of(const Plan& plan, const std::string& title) {
  std::string out;
  for (const WorkOrder& order : plan.orders) {
    if (describe(plan, order).title != title) continue;
    out += (out.empty() ? "" : " ") + calendar::iso_date(order.date).substr(8);
  }
  return out;
}

std::string conflicts_of(const Plan& plan) {
  std::string out;
  for (const Conflict& one : plan.conflicts) out += one.code + " " + one.message + "\n";
  return out;
}

}  // namespace

TEST_CASE("plants that nobody looks at in their first week under mist are a conflict") {
  Misted planned;
  const Plan& plan = planned.plan();
  REQUIRE(plan.batches.front().dated);
  // Carried to the tent on the last working day that does.
  CHECK(days_of(plan, "Stick") == "27");
  CHECK(conflicts_of(plan) ==
        "nobody-there Nobody is there for \"Look at nozzles\" in `wet`, whose plants are in their "
        "first week of wet air, on Sat 2027-05-29, Sun 2027-05-30.\n");
  CHECK(days_of(plan, "Look at nozzles") == "28 31 01 02 03 04 07 08");
  // What needs no looking after is for anyone, on any day.
  CHECK(days_of(plan, "Pick over") == "28 29 30 31 01 02 03 04 05 06 07 08");
}

TEST_CASE("work of a closed day moves to the day before, unless it is done then anyway") {
  Misted planned;
  // Due on 28 May, 1 June and 5 June, a Saturday.
  CHECK(days_of(planned.plan(), "Water") == "28 01 04");
  bool told = false;
  for (const Note& note : planned.plan().notes) {
    told = told || note.message.starts_with("\"Look at nozzles\" is left out 4 of 12 times");
  }
  CHECK(told);
}

TEST_CASE("whoever has duty does it on the day, and is told so") {
  Misted planned;
  planned.give_duty();
  const Plan& plan = planned.plan();
  CHECK(conflicts_of(plan).empty());
  CHECK(days_of(plan, "Look at nozzles") == "28 29 30 31 01 02 03 04 05 06 07 08");
  CHECK(days_of(plan, "Water") == "28 01 05");
  std::size_t on_duty = 0;
  for (const WorkOrder& order : plan.orders) {
    const OrderDetail detail = describe(plan, order);
    CHECK(order.on_duty == (detail.crew == "carers"));
    if (!order.on_duty) continue;
    ++on_duty;
    CHECK(detail.notes.back() == "On duty: one of three in turn.");
  }
  CHECK(on_duty == 5);  // two weekends of looking, and water once
}

TEST_CASE("more than whoever has duty can do is told like any crew that is short") {
  Misted planned;
  planned.give_duty();
  planned.plan();
  const auto short_days = [&] {
    std::size_t out = 0;
    for (const CrewNeed& need : total_needs(planned.plan()).crews) {
      if (need.crew == "carers") out += need.overloads.size();
    }
    return out;
  };
  CHECK(short_days() == 0);  // 20 minutes of an hour
  planned.site().crews["carers"].duty->hours = book::WeekHours(600);
  CHECK(short_days() == 1);  // where both are due, 20 minutes of 10
}

TEST_CASE("what looks after plants goes on while they wait for the next stage") {
  // Rooted from 10 to 14 May; potted as late as the day that is asked for allows.
  Planned planned(R"(protocol waiting { part plant
    stage root of plant { lasts 5 days  may wait 20 days  room tent
      do "Water" daily { time 10 min  tagged water }
      do "Look" every 4 days { time 5 min  tagged watch }
      do "Water in" daily from day 1 to day 2 { time 10 min  tagged water }
      do "Feed" daily { time 5 min } }
    stage pot of plant { lasts 4 days  room bench  do "Pot" on day 1 { time 1 h  crew potters } } })");
  using enum calendar::Weekday;
  planned.site().working =
      calendar::WorkingDays({monday, tuesday, wednesday, thursday, friday, saturday, sunday}, {});
  book::Batch& batch = planned.add("A", 10, "2027-05-28");
  batch.pins.push_back({"root", book::Pin::Side::start, tests::day("2027-05-10"), {}, false});
  const Plan& plan = planned.plan();
  CHECK(conflicts_of(plan).empty());
  CHECK(days_of(plan, "Pot") == "24");
  CHECK(days_of(plan, "Water") == "10 11 12 13 14 15 16 17 18 19 20 21 22 23");
  CHECK(days_of(plan, "Look") == "10 14 18 22");
  CHECK(days_of(plan, "Water in") == "10 11");
  CHECK(days_of(plan, "Feed") == "10 11 12 13 14");
  const sheet::Row row = plan.row_of(plan.batches.front());
  const auto times = [&](std::int32_t work) {
    return row.value(row.cells(language::StageId(0), language::WorkId(work)).times);
  };
  CHECK(times(0) == 14);
  CHECK(times(1) == 4);
  CHECK(times(2) == 2);
  CHECK(times(3) == 5);
  REQUIRE(plan.notes.size() == 1);
  CHECK(plan.notes[0].message.ends_with("; what looks after them goes on."));
}
