#include "under_way.hpp"

#include <algorithm>
#include <random>

#include "plan/needs/needs.hpp"
#include "plan/orders/order.hpp"
#include "sheet/counts/prospects.hpp"

/// What gives way when a batch under way can no longer keep to everything, and what is then told.
using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using calendar::Day;
using calendar::iso_date;
using language::StageId;

namespace {

/// Two parts that are joined, a season, plants that wait for the next working day only.
const std::string joined = R"(protocol p "P" {
  part stock
  part scion
  part plant
  stage raise of stock {
    lasts 20 to 30 days usually 24 days
    do "Sow" on day 1 { time 1 h  crew growers }
  }
  stage force of scion {
    lasts 10 days
    season 1 Mar to 15 May
    starts within 12 to 18 days of raise.start
    do "Sow" on day 1 { time 1 h  crew growers }
  }
  stage graft joins stock with scion into plant {
    lasts 2 days
    after raise by 0 to 3 days
    room house
    do "Graft" on day 1 { time 1 h  crew growers }
  }
  stage heal of plant { lasts 8 to 12 days usually 10 days  room fog  no wait }
})";

record::Entry entry(record::What what, const std::string& place, const std::string& date) {
  record::Entry out;
  out.what = what;
  out.batch = "A";
  out.place = place;
  out.day = day(date);
  return out;
}

std::string deviations(UnderWay& book) {
  const Plan& plan = book.plan();
  std::string out;
  for (const auto& one : plan.row_of(plan.batches.front()).deviations()) out += one.text + "\n";
  return out;
}

}  // namespace

TEST_CASE("a day on which the batch was to start is missed by as little as can be, and told") {
  UnderWay book;
  book.batch().ready.reset();
  book.batch().start = book::Placed<Day>{day("2027-05-03"), {}};
  CHECK(book.dates().starts_with("sow 05-03"));
  book.today("2027-05-06");
  CHECK(book.dates() ==
        "sow 05-06 05-16, strike 05-17 05-31, harden 05-31 06-07, ready 06-07 limit-passed");
  CHECK(deviations(book) ==
        "The batch starts on Thursday 2027-05-06, not on Monday 2027-05-03 as asked.\n");
}

TEST_CASE("a season that comes again soon is waited for, one that is far off is missed and told") {
  const std::string text = R"(protocol p "P" {
    part plant
    stage raise of plant { lasts 10 days  may wait 20 days }
    stage plant_out of plant { season 1 Apr to 20 May  lasts 5 days  room yard }
  })";
  UnderWay soon(text);
  soon.started("raise", "2027-03-01").today("2027-03-02");
  soon.batch().ready->value = day("2027-03-20");
  CHECK(soon.dates() == "raise 03-01 03-11, plant_out 04-01 04-06, ready 04-06 late limit-passed");
  UnderWay far(text);
  far.started("raise", "2027-05-12").today("2027-05-14");
  CHECK(far.dates() == "raise 05-12 05-22, plant_out 05-24 05-29, ready 05-31 limit-passed");
  CHECK(deviations(far) ==
        "`plant_out` starts on Monday 2027-05-24, 4 days outside of its season, which goes from 1 "
        "April to 20 May.\n");
}

TEST_CASE("May end is not before today") {
  UnderWay book;
  book.started("sow", "2027-05-03").today("2027-05-12");
  const Plan& plan = book.plan();
  const sheet::Row row = plan.row_of(plan.batches.front());
  const sheet::StageCells& cells = row.cells(StageId(0));
  CHECK(iso_date(row.day(cells.earliest)) == "2027-05-12");
  CHECK(iso_date(row.day(cells.latest)) == "2027-05-15");
}

TEST_CASE("dates that levelling chose give way when they can no longer be kept") {
  UnderWay book;
  book::Levelled levelled;
  levelled.ready = day("2027-06-01");
  levelled.dates = {{"sow", book::Pin::Side::start, day("2027-04-30"), {}, false}};
  book.batch().levelled = levelled;
  CHECK(book.dates().starts_with("sow 04-30"));
  book.today("2027-05-03");
  CHECK(book.dates() == "sow 05-03 05-13, strike 05-14 05-28, harden 05-28 06-04, ready 06-04");
  CHECK(book.notes().find("The dates that levelling chose no longer fit") != std::string::npos);
}

TEST_CASE("a batch that was given up keeps the work that was done") {
  UnderWay book;
  book.started("sow", "2027-05-04").done("sow/1/1", "2027-05-04").today("2027-05-20");
  book.batch().stopped = book::Placed<Day>{day("2027-05-19"), {}};
  const Plan& plan = book.plan();
  REQUIRE(plan.orders.size() == 1);
  CHECK(order_id(plan, plan.orders[0]) == "A/sow/1/1");
  CHECK(plan.orders[0].done());
}

TEST_CASE("a gate is not seen before its stage began, nor later than the next one did") {
  UnderWay book(R"(protocol p "P" {
    observe callus in %
    part plant
    stage cut of plant { lasts 5 days  do "Look" daily { record callus } }
    stage heal of plant { lasts 8 to 12 days usually 10 days  until callus >= 80 %, at most 20 days
      do "Look" daily { record callus } }
    stage grow of plant { lasts 7 days }
  })");
  const auto seen = [&](const std::string& place, const std::string& date) {
    record::Entry one = entry(record::What::seen, place, date);
    one.name = "callus";
    one.number = 90;
    one.unit = "%";
    book.book().history.push_back(one);
  };
  seen("", "2027-05-10");  // while it was cut
  book.ended("cut", "2027-05-12").started("heal", "2027-05-12").today("2027-05-14");
  CHECK(book.dates().find("heal 05-12 05-22") != std::string::npos);
  seen("", "2027-05-14");
  CHECK(book.dates().find("heal 05-12 05-14") != std::string::npos);
  book.started("grow", "2027-05-13");
  CHECK(book.dates().find("heal 05-12 05-13") != std::string::npos);
  CHECK(book.dates().find("grow 05-13") != std::string::npos);
}

TEST_CASE("what is counted by a word of its own decides as any number does") {
  Planned planned(R"(protocol p {
    observe leaves in true_leaves
    part plant
    stage grow of plant {
      lasts 10 to 20 days usually 15 days
      until leaves >= 3 true_leaves, at most 30 days
      do "Count leaves" every 2 days { record leaves }
    }
  })");
  planned.add("A", 100, "2027-06-11");
  planned.book().today = *calendar::parse_iso_date("2027-06-10");
  planned.book().batches.back().pins.push_back(
      {"grow", book::Pin::Side::start, *calendar::parse_iso_date("2027-05-24"), {}, true});
  record::Entry seen;
  seen.what = record::What::seen;
  seen.batch = "A";
  seen.place = "grow";
  seen.name = "leaves";
  seen.number = 2;
  seen.unit = "true_leaves";
  seen.day = *calendar::parse_iso_date("2027-06-03");
  planned.book().history.push_back(seen);
  const auto end = [&] {
    const Plan& plan = planned.plan();
    return calendar::iso_date(plan.row_of(plan.batches[0]).end(language::StageId(0)));
  };
  CHECK(end() != "2027-06-07");
  seen.number = 3;
  seen.day = *calendar::parse_iso_date("2027-06-07");
  planned.book().history.push_back(seen);
  CHECK(end() == "2027-06-07");
}

TEST_CASE("a gate that is not seen in time is a choice, with the dates of both ways on") {
  UnderWay book(R"(protocol p "P" {
    observe callus in %
    part plant
    stage heal of plant { lasts 8 to 12 days usually 10 days  until callus >= 80 %, at most 20 days
      do "Look" daily { record callus } }
    stage grow of plant { lasts 7 days }
  })");
  book.started("heal", "2027-05-03").today("2027-05-19");
  CHECK(book.dates() == "heal 05-03 05-19, grow 05-19 05-26, ready 05-26");
  book.today("2027-05-25");
  CHECK(book.dates() == "heal 05-03 05-25, grow 05-25 06-01, ready 06-01 gate-passed");
  const Conflict& conflict = book.plan().conflicts.front();
  CHECK(
      conflict.message ==
      "`callus >= 80 %` has not been seen: `heal` lasts 22 days; the protocol says 8 to 20 days.");
  CHECK(texts_of(conflict.repairs) ==
        std::vector<std::string>{
            "Go on without it on Tue 2027-05-25: then the batch is ready on Tue 2027-06-01.",
            "Wait for it: each day makes the batch a day later than Tue 2027-06-01."});
}

TEST_CASE(
    "an if that came true becomes orders, with hours and supplies; one that did not stays words") {
  UnderWay book(R"(protocol p "P" {
    observe callus in %
    supply wax in mL
    part plant
    stage heal of plant { lasts 20 days  room house
      do "Look" every 4 days { record callus  time 10 min  crew growers }
      if callus < 50 % on day 10 {
        warn "Slow callus."
        do "Seal again" { time 30 min  crew growers  use 2 mL wax each }
        do "Warm the bench" { }
      }
      if callus >= 90 % on day 10 { do "Air early" { time 10 min  crew growers } }
    }
  })");
  book.started("heal", "2027-05-10").today("2027-05-14");
  const auto seen = [&](const std::string& date, double percent) {
    record::Entry one = entry(record::What::seen, "heal", date);
    one.name = "callus";
    one.number = percent;
    one.unit = "%";
    book.book().history.push_back(one);
  };
  const auto extra = [&] {
    const Plan& plan = book.plan();
    std::string out;
    for (const WorkOrder& order : plan.orders) {
      if (order.work.number() > 1) {
        out += order_id(plan, order) + " " + iso_date(order.date) + " " +
               std::string(word(order.state)) + "\n";
      }
    }
    return out;
  };
  const auto wax = [&] {
    double out = 0;
    for (const SupplyNeed& need : total_needs(book.plan()).supplies) out += need.amount;
    return out;
  };
  seen("2027-05-14", 10);
  CHECK(extra().empty());  // it asks on Wednesday 19 May
  seen("2027-05-18", 45);
  book.today("2027-05-18");
  CHECK(extra().empty());
  CHECK(wax() == 0);
  book.today("2027-05-20");
  CHECK(extra() == "A/heal/2/1 2027-05-18 overdue\nA/heal/3/1 2027-05-18 overdue\n");
  CHECK(wax() == doctest::Approx(200e-6));
  CHECK(book.notes().find("`callus < 50 %` was so on Tue 2027-05-18 in `heal`. Slow callus.") !=
        std::string::npos);
  CHECK(book.problems().empty());
  book.done("heal/2/1", "2027-05-20");
  CHECK(extra() == "A/heal/3/1 2027-05-18 overdue\nA/heal/2/1 2027-05-20 done\n");
  CHECK(wax() == 0);
  seen("2027-05-19", 60);  // the look of the day itself counts more
  book.batch().done.clear();
  CHECK(extra().empty());
}

TEST_CASE("what was really used counts, whoever noted it and for whatever") {
  UnderWay book;
  book.site().supplies["pot"].on_hand = quantity("500");
  const auto stock = [&] { return total_needs(book.plan()).supplies.front().terms.on_hand; };
  const auto used = [&](const std::string& place, double pots) {
    record::Entry one = entry(record::What::done, place, "2027-05-08");
    one.used = {{pots, "pots", "pot"}};
    book.book().history.push_back(one);
  };
  book.done("sow/2/1", "2027-05-08").today("2027-05-12");
  CHECK(stock() == 400);  // 100 as planned
  used("sow/2/1", 60);
  CHECK(stock() == 440);
  used("sow/2/1", 30);  // and once more for the same work
  CHECK(stock() == 410);
  used("sow/1/1", 5);  // work for which none was planned
  CHECK(stock() == 405);
}

TEST_CASE("closed rooms move neither what is done nor for what is left out") {
  UnderWay book(R"(protocol p "P" {
    part plant
    stage rest of plant {
      lasts 20 days
      room house
      do "Spray" on day 2 { time 1 h  crew growers  no entry for 40 h after }
      do "Look" on day 3 within 3 days { time 1 h  crew growers }
    }
  })");
  const auto looked = [&] {
    const Plan& plan = book.plan();
    for (const WorkOrder& order : plan.orders) {
      if (order_id(plan, order) == "A/rest/2/1") return iso_date(order.date);
    }
    return std::string("none");
  };
  book.batch().ready->value = day("2027-06-11");  // it starts on Thursday 20 May
  book.started("rest", "2027-05-17").today("2027-05-17");
  CHECK(looked() == "2027-05-20");
  book.done("rest/2/1", "2027-05-19");
  CHECK(looked() == "2027-05-19");
  book.batch().done.clear();
  book.batch().left_out.push_back({"rest/1", day("2027-05-17"), {}});
  CHECK(looked() == "2027-05-19");
}

TEST_CASE(
    "where every plant was lost, what is left takes no space and nothing is wrong with that") {
  UnderWay book(R"(protocol p "P" {
    supply mix in L
    part plant
    stage sow of plant { lasts 10 days  loses 10 % }
    stage grow of plant {
      lasts 10 days
      room house
      space plants
      do "Pot" on day 1 { time 1 h  crew growers  use 0.5 L mix each }
    }
  })");
  book.started("sow", "2027-05-03").ended("sow", "2027-05-13").today("2027-05-13");
  book.batch().counted.push_back({"sow", 0, {}});
  CHECK(book.dates().find("out-of-range") == std::string::npos);
}

TEST_CASE("what is expected is not more than what was counted lets through") {
  UnderWay book(R"(protocol p "P" {
    part plant
    stage divide of plant { lasts 1 day  yields 3 }
    stage pot of plant { lasts 10 days }
  })");
  book.started("divide", "2027-05-03").ended("divide", "2027-05-04").today("2027-05-04");
  book.batch().counted.push_back({"divide", 40, {}});
  const Plan& plan = book.plan();
  CHECK(sheet::prospects(plan.row_of(plan.batches[0]))->expected == doctest::Approx(40));
}

TEST_CASE("a batch under way always has dates, whatever happened, in whatever order it was noted") {
  std::mt19937 random(20270503);
  const auto pick = [&](int low, int high) {
    return std::uniform_int_distribution<int>(low, high)(random);
  };
  for (int round = 0; round < 600; ++round) {
    CAPTURE(round);
    UnderWay book(round % 2 == 0 ? layers : joined);
    std::vector<std::string> stages = {"sow", "strike", "harden"};
    if (round % 2 != 0) stages = {"raise", "force", "graft", "heal"};
    if (round % 3 == 1) book.batch().start = book::Placed<Day>{day("2027-04-12"), {}};
    if (round % 3 == 2) book.batch().not_before = book::Placed<Day>{day("2027-04-12"), {}};
    if (round % 3 != 0) book.batch().ready.reset();
    Day at = day("2027-05-03") + pick(-20, 20);
    const int facts = pick(1, 2 * static_cast<int>(stages.size()));
    for (int i = 0; i < facts; ++i) {
      const auto side = i % 2 == 0 ? book::Pin::Side::start : book::Pin::Side::end;
      if (pick(0, 2) > 0) {
        book.happened(stages[static_cast<std::size_t>(i / 2)], side, iso_date(at));
      }
      at += pick(0, 25);
    }
    book.today(iso_date(at + pick(0, 30)));
    const std::string dates = book.dates();
    CHECK(dates != "no dates");
    CHECK(dates.find("dates-contradict") == std::string::npos);
    const Plan& plan = book.plan();
    const sheet::Row row = plan.row_of(plan.batches.front());
    for (const book::Pin& pin : book.batch().pins) {
      const StageId s = row.protocol().stages.find(pin.stage);
      CHECK((pin.side == book::Pin::Side::end ? row.end(s) : row.start(s)) == pin.day);
    }
    const bool over = dates.find("late") == std::string::npos && *row.ready() < *plan.book->today;
    CHECK((!over || std::any_of(book.batch().pins.begin(), book.batch().pins.end(), [&](auto& pin) {
      return pin.stage == stages.back() && pin.side == book::Pin::Side::end;
    })));
    std::shuffle(book.batch().pins.begin(), book.batch().pins.end(), random);
    CHECK(book.dates() == dates);
  }
}
