#include <random>

#include "plan/needs/needs.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "under_way.hpp"

/// Plans of batches that are under way: what happened holds, the rest goes on from today.
using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using calendar::Day;
using calendar::iso_date;
using language::StageId;

TEST_CASE("without anything noted the plan is the latest that is in time") {
  CHECK(UnderWay().dates() ==
        "sow 05-03 05-13, strike 05-14 05-28, harden 05-28 06-04, ready 06-04");
}

TEST_CASE("what was foreseen changes nothing") {
  const std::string foreseen = UnderWay().dates();
  CHECK(UnderWay().started("sow", "2027-05-03").today("2027-05-03").dates() == foreseen);
  CHECK(UnderWay().started("sow", "2027-05-03").today("2027-05-10").dates() == foreseen);
  CHECK(UnderWay()
            .started("sow", "2027-05-03")
            .ended("sow", "2027-05-13")
            .today("2027-05-14")
            .dates() == foreseen);
}

TEST_CASE("a stage under way does not end before today, and what follows moves") {
  UnderWay book;
  book.started("sow", "2027-05-04").today("2027-05-18");
  CHECK(book.dates() ==
        "sow 05-04 05-18, strike 05-18 06-01, harden 06-01 06-08, ready 06-08 late limit-passed");
  const std::vector<Conflict>& conflicts = book.plan().conflicts;
  CHECK(
      conflicts[0].message ==
      "With what is left as long as usual it can be ready on Tuesday 2027-06-08 at the earliest, 4 "
      "days after Friday 2027-06-04.");
  REQUIRE(conflicts[1].facts.size() == 1);
  CHECK(conflicts[1].facts[0].text == "`sow` lasts 14 days; the protocol says 8 to 12 days.");
}

TEST_CASE("longer than usual but inside nature's range is no deviation") {
  UnderWay book;
  book.started("sow", "2027-05-03").today("2027-05-14");
  CHECK(book.dates() == "sow 05-03 05-14, strike 05-14 05-28, harden 05-28 06-04, ready 06-04");
}

TEST_CASE("what has not begun does not begin before today") {
  UnderWay book;
  book.today("2027-05-07");
  CHECK(book.dates() ==
        "sow 05-07 05-17, strike 05-17 05-31, harden 05-31 06-07, ready 06-07 late");
}

TEST_CASE("what happened outside of the protocol is told with both numbers, and refused nowhere") {
  UnderWay book;
  book.started("sow", "2027-05-03").ended("sow", "2027-05-20").started("strike", "2027-05-25");
  book.today("2027-05-25");
  CHECK(book.dates() ==
        "sow 05-03 05-20, strike 05-25 06-08, harden 06-08 06-15, ready 06-15 late");
  CHECK(book.notes().find("`sow` lasted 17 days; the protocol says 8 to 12 days.") !=
        std::string::npos);
  CHECK(book.notes().find("After `sow` plants waited 5 days for `strike`; they may wait 2 days.") !=
        std::string::npos);
}

TEST_CASE("work that was done tells when its stage began") {
  UnderWay book;
  book.done("sow/1/1", "2027-05-05").today("2027-05-05");
  CHECK(book.dates() ==
        "sow 05-05 05-15, strike 05-17 05-31, harden 05-31 06-07, ready 06-07 late");
  CHECK(book.notes().find("Taken for granted: the start of `sow` on Wed 2027-05-05") !=
        std::string::npos);
  UnderWay later;
  later.done("sow/2/1", "2027-05-07").today("2027-05-07");
  CHECK(later.dates().starts_with("sow 05-03 05-13"));
}

TEST_CASE("a next stage that has begun tells that the one before is over") {
  UnderWay book;
  book.started("strike", "2027-05-17").today("2027-05-24");
  CHECK(book.dates() ==
        "sow 05-07 05-17, strike 05-17 05-31, harden 05-31 06-07, ready 06-07 late");
}

TEST_CASE("a date that was only wanted gives way") {
  UnderWay book;
  book.batch().pins.push_back({"strike", book::Pin::Side::start, day("2027-05-14"), {}, false});
  book.started("sow", "2027-05-04").today("2027-05-17");
  CHECK(book.dates().starts_with("sow 05-04 05-17, strike 05-17 05-31"));
  const Plan& plan = book.plan();
  REQUIRE(plan.conflicts.size() == 2);
  CHECK(plan.conflicts[1].facts.back().text ==
        "`strike` starts on Monday 2027-05-17, not on Friday 2027-05-14 as the batch says.");
}

TEST_CASE("orders are done, left out, overdue or open") {
  UnderWay book;
  book.done("sow/1/1", "2027-05-04").today("2027-05-12");
  book.batch().left_out.push_back({"strike", day("2027-05-12"), {}});
  std::string states;
  const Plan& plan = book.plan();
  for (const WorkOrder& order : plan.orders) {
    states += order_id(plan, order) + " " + std::string(word(order.state)) + "\n";
  }
  CHECK(states == "A/sow/1/1 done\nA/sow/2/1 overdue\nA/strike/1/1 left out\n");
}

TEST_CASE("nothing is needed for work that is done or left out") {
  UnderWay book;
  const auto pots = [&] {
    const Needs needs = total_needs(book.plan());
    return needs.supplies.empty() ? 0.0 : needs.supplies.front().amount;
  };
  CHECK(pots() == 200);
  book.done("sow/2/1", "2027-05-08");
  CHECK(pots() == 100);
  book.batch().left_out.push_back({"strike/1/1", day("2027-05-12"), {}});
  CHECK(pots() == 0);
}

TEST_CASE("a batch that was given up has no work, no needs and no conflicts, and says why") {
  UnderWay book;
  book.started("sow", "2027-05-04").today("2027-05-20");
  book.batch().stopped = book::Placed<Day>{day("2027-05-19"), {}};
  book.batch().stopped_because = "hail";
  const Plan& plan = book.plan();
  CHECK(plan.orders.empty());
  CHECK(plan.conflicts.empty());
  CHECK(book.notes() == "Given up on Wed 2027-05-19: hail\n");
  CHECK(total_needs(book.plan()).supplies.empty());
}

TEST_CASE("a gate that was seen ends its stage on that day") {
  Planned planned(R"(protocol p "P" {
    observe callus in %
    observe buds
    part plant
    stage heal of plant { lasts 8 to 12 days usually 10 days  until callus >= 80 % and buds, at most 20 days
      do "Look" daily { record callus  record buds } }
    stage grow of plant { lasts 7 days }
  })");
  planned.add("A", 100, "2027-06-04")
      .pins.push_back({"heal", book::Pin::Side::start, day("2027-05-17"), {}, true});
  planned.book().today = day("2027-05-28");
  const auto note = [&](record::What what, const std::string& name, const std::string& date,
                        std::optional<double> number, std::optional<double> of,
                        const std::string& unit) {
    record::Entry entry;
    entry.what = what;
    entry.batch = "A";
    entry.place = "heal";
    entry.name = name;
    entry.day = day(date);
    entry.number = number;
    entry.of = of;
    entry.unit = unit;
    planned.book().history.push_back(entry);
  };
  const auto end = [&] {
    const Plan& plan = planned.plan();
    return iso_date(plan.row_of(plan.batches[0]).end(StageId(0)));
  };
  note(record::What::seen, "callus", "2027-05-24", 70, {}, "%");
  note(record::What::seen, "buds", "2027-05-24", {}, {}, "");
  CHECK(end() == "2027-05-28");
  note(record::What::seen, "callus", "2027-05-26", 16, 20, "");
  CHECK(end() == "2027-05-26");
  note(record::What::not_seen, "buds", "2027-05-25", {}, {}, "");
  CHECK(end() == "2027-05-28");
}

TEST_CASE("stock is what was counted last, less what was used since and with what came in") {
  UnderWay book;
  book.site().supplies["pot"].on_hand = quantity("500");
  const auto stock = [&] { return total_needs(book.plan()).supplies.front().terms.on_hand; };
  const auto note = [&](record::What what, const std::string& date, double number) {
    record::Entry entry;
    entry.what = what;
    entry.name = "pot";
    entry.day = day(date);
    entry.number = number;
    book.book().history.push_back(entry);
  };
  note(record::What::stock, "2027-05-06", 180);
  CHECK(stock() == 180);
  book.today("2027-05-12").done("sow/2/1", "2027-05-08");  // 100 pots
  CHECK(stock() == 80);
  note(record::What::came_in, "2027-05-10", 40);
  note(record::What::thrown_out, "2027-05-11", 5);
  CHECK(stock() == 115);
  record::Entry used;
  used.what = record::What::done;
  used.batch = "A";
  used.place = "sow/2/1";
  used.day = day("2027-05-08");
  used.used = {{90, "pots", "pot"}};
  book.book().history.push_back(used);
  CHECK(stock() == 125);
  note(record::What::stock, "2027-05-12", 60);
  CHECK(stock() == 60);
  // Whoever counts in the evening has what came and went that day before him.
  note(record::What::came_in, "2027-05-12", 500);
  CHECK(stock() == 60);
}

TEST_CASE("a look on the day on which its stage was over stays done, one beyond it is unknown") {
  Planned planned(R"(protocol p "P" {
    part plant
    stage heal of plant { lasts 8 to 12 days usually 10 days
      do "Look" daily { note "From all sides." } }
    stage grow of plant { lasts 7 days }
  })");
  book::Batch& batch = planned.add("A", 100, "2027-06-04");
  batch.pins.push_back({"heal", book::Pin::Side::start, day("2027-05-17"), {}, true});
  batch.pins.push_back({"heal", book::Pin::Side::end, day("2027-05-26"), {}, true});
  batch.done.push_back({"heal/1/10", day("2027-05-26"), {}});
  planned.book().today = day("2027-05-28");
  const Plan& plan = planned.plan();
  CHECK(planned.problems() == "");
  const auto last = std::find_if(plan.orders.begin(), plan.orders.end(), [](const WorkOrder& one) {
    return one.stage == StageId(0) && one.occurrence == 10;
  });
  REQUIRE(last != plan.orders.end());
  CHECK(iso_date(last->date) == "2027-05-26");
  CHECK(last->done());

  batch.done.push_back({"heal/1/14", day("2027-05-30"), {}});
  CHECK(planned.problems().find("unknown-order Batch `A` has no order `heal/1/14`.") !=
        std::string::npos);
}

TEST_CASE("work on the last day of a stage stays done for each cultivar that has it for itself") {
  Planned planned(R"(protocol p "P" {
    part plant
    stage heal of plant { lasts 8 to 12 days usually 10 days
      do "Tie in" daily { rate 60 per hour }
      do "Look" daily { time 5 min } }
    stage grow of plant { lasts 7 days }
  })");
  for (const char* name : {"A-c1", "A-c2"}) {
    book::Batch& batch = planned.add(name, 100, "2027-06-04");
    batch.pins.push_back({"heal", book::Pin::Side::start, day("2027-05-17"), {}, true});
    batch.pins.push_back({"heal", book::Pin::Side::end, day("2027-05-26"), {}, true});
    batch.done.push_back({"heal/1/10", day("2027-05-26"), {}});
    batch.done.push_back({"heal/2/10", day("2027-05-26"), {}});
    batch.lead = std::string(name) == "A-c1";
  }
  planned.book().today = day("2027-05-28");
  CHECK(planned.problems() == "");
  const auto done = [&](std::uint32_t batch, int work) {
    const auto& orders = planned.plan().orders;
    return std::count_if(orders.begin(), orders.end(), [&](const WorkOrder& one) {
      return one.batch == batch && one.work.number() == work && one.occurrence == 10 && one.done();
    });
  };
  CHECK(done(0, 1) == 1);
  CHECK(done(1, 1) == 1);
  CHECK(done(0, 2) == 1);
  CHECK(done(1, 2) == 0);  // it is done once for both
}
