#include <algorithm>

#include "plan/needs/needs.hpp"
#include "plan/orders/order.hpp"
#include "under_way.hpp"

/// What has begun, went on or was done without anybody noting it, as what was noted shows it.
using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// Rooted until callus is seen, then grown on in the same room; `work` stands in the second stage.
std::string rooted(const std::string& work) {
  return R"(protocol p "P" {
    supply feed in mL
    observe callus in %
    part plant
    stage root of plant {
      lasts 8 to 12 days usually 10 days
      until callus >= 80 %, at most 20 days
      room house
      do "Stick" on day 1 { time 1 h  crew growers }
      do "Look" every 2 days from day 3 { time 5 min  record callus }
    }
    stage grow of plant {
      lasts 12 to 20 days usually 12 days
      room house
      )" +
         work +
         R"(
    }
  })";
}

void see(UnderWay& book, const std::string& place, const std::string& date, double percent) {
  record::Entry one;
  one.what = record::What::seen;
  one.batch = "A";
  one.place = place;
  one.day = day(date);
  one.name = "callus";
  one.number = percent;
  one.unit = "%";
  book.book().history.push_back(one);
}

/// "grow/1/3 done 05-07, ..." of the orders of a work that are not open.
std::string states(UnderWay& book, const std::string& work) {
  const Plan& plan = book.plan();
  std::string out;
  for (const WorkOrder& order : plan.orders) {
    const std::string name = order_name(plan, order);
    if (!name.starts_with(work + "/") || order.state == OrderState::open) continue;
    out += name + " " + std::string(word(order.state)) + " " +
           calendar::iso_date(order.date).substr(5) + ", ";
  }
  return out;
}

}  // namespace

TEST_CASE("a stage that nobody has to begin begins with the end of the one before") {
  const auto dates = [](const std::string& work) {
    UnderWay book(rooted(work));
    book.started("root", "2027-05-03").today("2027-05-20");
    see(book, "root", "2027-05-12", 90);
    return book.dates();
  };
  CHECK(dates("") == "root 05-03 05-12, grow 05-12 05-24, ready 05-24");
  // Looks and rounds begin nothing.
  CHECK(dates("do \"Look\" on day 1 { time 5 min  record callus }") ==
        "root 05-03 05-12, grow 05-12 05-24, ready 05-24");
  CHECK(dates("do \"Feed\" every 3 days { time 5 min  use 1 mL feed each }") ==
        "root 05-03 05-12, grow 05-12 05-24, ready 05-24");
  // Work does, and so does another room.
  CHECK(dates("do \"Pot\" on day 1 { time 1 h  crew growers }") ==
        "root 05-03 05-12, grow 05-20 06-01, ready 06-01 limit-passed");
  UnderWay moved(R"(protocol p "P" {
    part plant
    stage root of plant { lasts 10 days  room house }
    stage grow of plant { lasts 12 days  room yard }
  })");
  moved.started("root", "2027-05-03").ended("root", "2027-05-12").today("2027-05-20");
  CHECK(moved.dates() == "root 05-03 05-12, grow 05-20 06-01, ready 06-01 limit-passed");
}

TEST_CASE(
    "a stage that has begun takes longer, as long as nature may, before anything else gives way") {
  UnderWay book;
  book.started("sow", "2027-05-03").started("strike", "2027-05-17").today("2027-05-18");
  CHECK(book.dates() ==
        "sow 05-03 05-15, strike 05-17 05-31, harden 05-31 06-07, ready 06-07 late");
  // No longer than it has to, and shorter where what follows has begun.
  UnderWay sooner;
  sooner.started("sow", "2027-05-03").started("strike", "2027-05-12").today("2027-05-18");
  CHECK(sooner.dates().starts_with("sow 05-03 05-12, strike 05-12 05-26, "));
  const std::string season = R"(protocol p "P" {
    part plant
    stage raise of plant { lasts 8 to 12 days usually 10 days  no wait }
    stage plant_out of plant { season 20 May to 20 Jun  lasts 5 days }
  })";
  UnderWay waits(season);
  waits.started("raise", "2027-05-08").today("2027-05-10");
  CHECK(waits.dates() == "raise 05-08 05-20, plant_out 05-20 05-25, ready 05-25");
  // What would not be enough is not done for nothing.
  UnderWay too_early(season);
  too_early.started("raise", "2027-03-01").today("2027-03-02");
  CHECK(too_early.dates().starts_with("raise 03-01 03-11, plant_out 03-11 "));
}

TEST_CASE("a turn that was done shows that its stage went on") {
  UnderWay book(rooted("do \"Feed\" daily { time 5 min  use 1 mL feed each }"));
  book.started("grow", "2027-05-03").done("grow/1/15", "2027-05-17").today("2027-05-17");
  CHECK(book.dates().find("grow 05-03 05-18") != std::string::npos);
  CHECK(states(book, "grow/1").find("grow/1/15 done 05-17") != std::string::npos);
}

TEST_CASE("a look is done by what is seen at it") {
  UnderWay book(rooted(""));
  book.started("root", "2027-05-03").today("2027-05-10");
  see(book, "root", "2027-05-05", 10);  // turns are due on 5, 7, 9 and 11 May
  see(book, "root", "2027-05-05", 12);
  see(book, "root", "2027-05-08", 30);
  see(book, "root", "2027-05-10", 50);
  CHECK(states(book, "root/2") ==
        "root/2/1 done 05-05, root/2/2 done 05-08, root/2/3 done 05-10, ");
  UnderWay noted(rooted(""));
  noted.started("root", "2027-05-03").done("root/2/2", "2027-05-07").today("2027-05-08");
  see(noted, "root", "2027-05-07", 10);
  CHECK(states(noted, "root/2") == "root/2/1 overdue 05-05, root/2/2 done 05-07, ");
  // A look of a stated day is done at most a day early.
  UnderWay early(rooted("do \"Look\" on day 6 { time 5 min  record callus }"));
  early.started("grow", "2027-05-03").today("2027-05-08");
  see(early, "grow", "2027-05-06", 10);
  CHECK(states(early, "grow/1") == "");
  see(early, "grow", "2027-05-07", 10);
  CHECK(states(early, "grow/1") == "grow/1/1 done 05-07, ");
}

TEST_CASE("a stage of hours is over with the last of its work") {
  UnderWay book(R"(protocol p "P" {
    part plant
    stage lift of plant {
      lasts 4 hours
      room house
      do "Lift" on day 1 { time 1 h  crew growers }
      do "Wash" on day 1 { time 1 h  crew growers }
    }
    stage grow of plant { lasts 12 days  room house }
  })");
  book.done("lift/1/1", "2027-05-11").today("2027-05-14");
  CHECK(book.dates() == "lift 05-11 05-14, grow 05-14 05-26, ready 05-26 limit-passed");
  book.done("lift/2/1", "2027-05-11");
  CHECK(book.dates() == "lift 05-11 05-11, grow 05-11 05-23, ready 05-24");
  CHECK(book.notes().find("Taken for granted: the end of `lift` on Tue 2027-05-11") !=
        std::string::npos);
}

TEST_CASE("nothing is needed for rounds of which the time is over") {
  UnderWay book(rooted("do \"Feed\" every 3 days { time 5 min  use 1 mL feed each }"));
  book.started("grow", "2027-05-03").today("2027-05-11");
  const Needs needs = total_needs(book.plan(), std::nullopt);
  REQUIRE(needs.supplies.size() == 1);
  // Rounds of 3 and 6 May are over; that of 9 May can still be made up for, 12 May is ahead.
  std::vector<std::string> days;
  for (const Taking& one : needs.supplies.front().takings) {
    days.push_back(calendar::iso_date(one.day).substr(5));
  }
  CHECK(days == std::vector<std::string>{"05-09", "05-12"});
}
