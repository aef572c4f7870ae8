#include "sample.hpp"
#include "sheet/columns/program.hpp"
#include "sheet/dates/dates.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

/// The days of a stage on which work with this timing falls due, first day 1.
std::string due(const std::string& timing, int length) {
  const Sample sample(protocol("stage s of plant { lasts 30 days  do \"W\" " + timing + " }"));
  std::string out;
  for (const int day : due_days(sample.t().protocol.stages[0].works[0].timing, length)) {
    out += (out.empty() ? "" : " ") + std::to_string(day + 1);
  }
  return out;
}

}  // namespace

TEST_CASE("work falls due on the days that its line names") {
  CHECK(due("at start", 5) == "1");
  CHECK(due("on day 1", 5) == "1");
  CHECK(due("on day 3", 5) == "3");
  CHECK(due("on last day", 5) == "5");
  CHECK(due("on day 4, day 2", 5) == "2 4");
  CHECK(due("on day 5, last day", 5) == "5");  // one day, one turn
  CHECK(due("daily", 4) == "1 2 3 4");
  CHECK(due("daily from day 3", 5) == "3 4 5");
  CHECK(due("daily from day 2 to day 4", 9) == "2 3 4");
  CHECK(due("every 3 days", 8) == "1 4 7");
  CHECK(due("every 3 days from day 2 to last day", 8) == "2 5 8");
  CHECK(due("every 7 days from day 7", 30) == "7 14 21 28");
  CHECK(due("every 1 week from day 7", 30) == "7 14 21 28");
  CHECK(due("every 2 days until day 5", 30) == "1 3 5");
}

TEST_CASE("days that the stage does not reach are left out") {
  CHECK(due("on day 6", 5).empty());
  CHECK(due("on day 3, day 6", 5) == "3");
  CHECK(due("daily from day 6", 5).empty());
  CHECK(due("daily from day 4 to day 20", 5) == "4 5");
}

TEST_CASE("a stage that is over on the day it starts has that one day") {
  CHECK(due("at start", 0) == "1");
  CHECK(due("on day 1", 0) == "1");
  CHECK(due("on last day", 0) == "1");
  CHECK(due("on day 2", 0).empty());
  CHECK(due("daily", 0) == "1");
}

TEST_CASE("work with a crew moves to the next working day within its limits") {
  const calendar::WorkingDays working = weekdays({"2027-05-03"}).working;
  language::Work work;
  const Day friday = day("2027-04-30");
  const Day last = day("2027-05-31");
  const auto done = [&](Day when) {
    const auto found = work_day(work, when, {friday, last}, working);
    return found ? calendar::iso_date(*found) : "never";
  };
  SUBCASE("plants grow on every day: without a crew nothing moves") {
    CHECK(done(friday + 1) == "2027-05-01");
  }
  SUBCASE("no limit") {
    work.crew = "grafting";
    CHECK(done(friday) == "2027-04-30");
    CHECK(done(friday + 1) == "never");
  }
  SUBCASE("the weekend and a closed Monday") {
    work.crew = "grafting";
    work.timing.within = 2;
    CHECK(done(friday + 1) == "never");  // the first working day is 3 days later
    CHECK(done(friday + 2) == "2027-05-04");
    work.timing.within = 3;
    CHECK(done(friday + 1) == "2027-05-04");
  }
  SUBCASE("never past the end of the stage") {
    work.crew = "grafting";
    work.timing.within = 7;
    CHECK_FALSE(work_day(work, friday + 1, {friday, friday + 3}, working));
    CHECK(work_day(work, friday + 1, {friday, friday + 4}, working) == friday + 4);
  }
}
