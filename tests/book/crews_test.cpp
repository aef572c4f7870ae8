#include <doctest/doctest.h>

#include "../day.hpp"
#include "book/site/site.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using budwood::tests::day;
using namespace budwood::book::test;
using budwood::calendar::Day;
using budwood::calendar::Weekday;

namespace {

constexpr double hour = 3600;

}  // namespace

TEST_CASE("hours by weekday: on a weekday that is not named the crew is not there") {
  const Site site = site_of(
      "working: {days: [mon, tue, wed, thu, fri]}\n"
      "crews:\n"
      "  grafting: {people: 2, hours: {mon: 7 h, Friday: 4 h}, pauses: 30 min}\n"
      "  potting: {people: 3, hours: 6 h}\n");
  const Crew& grafting = site.crews.at("grafting");
  CHECK(grafting.hours.on(Weekday::monday) == 6.5 * hour);
  CHECK(grafting.hours.on(Weekday::friday) == 3.5 * hour);
  CHECK(grafting.hours.on(Weekday::tuesday) == 0);
  CHECK_FALSE(grafting.hours.same_every_day());
  CHECK(site.crews.at("potting").hours.same_every_day());
  // 2027-03-01 is a Monday.
  CHECK(grafting.person_seconds(day("2027-03-01"), site.working) == 13 * hour);
  CHECK(grafting.person_seconds(day("2027-03-02"), site.working) == 0);
  CHECK(grafting.person_seconds(day("2027-03-05"), site.working) == 7 * hour);
  CHECK(site.crews.at("potting").person_seconds(day("2027-03-02"), site.working) == 18 * hour);
}

TEST_CASE("leave takes people off and extra people come, on working days") {
  const Site site = site_of(
      "working: {days: [mon, tue, wed, thu, fri], closed: [2027-03-04]}\n"
      "crews:\n"
      "  grafting:\n"
      "    people: 3\n"
      "    hours: 6 h\n"
      "    leave:\n"
      "      - {from: 2027-03-01, to: 2027-03-03, people: 2}\n"
      "      - {on: 2027-03-02}\n"
      "    extra: [{from: 2027-03-03, to: 2027-03-07, people: 4}]\n");
  const Crew& crew = site.crews.at("grafting");
  const auto people = [&](const char* date) {
    return crew.person_seconds(day(date), site.working) / (6 * hour);
  };
  CHECK(people("2027-02-26") == 3);
  CHECK(people("2027-03-01") == 1);
  CHECK(people("2027-03-02") == 0);
  CHECK(people("2027-03-03") == 5);
  CHECK(people("2027-03-04") == 0);  // closed
  CHECK(people("2027-03-05") == 7);
  CHECK(people("2027-03-06") == 0);  // a Saturday
  CHECK(people("2027-03-08") == 3);
  CHECK(crew.people_on(day("2027-03-06")) == 7);
}

TEST_CASE("where more are on leave than there are nobody is there, not fewer than nobody") {
  // A what-if takes people off a crew of whom some are on leave.
  Site site =
      site_of("crews: {grafting: {people: 3, hours: 6 h, leave: [{on: 2027-03-02, people: 3}]}}\n");
  Crew& crew = site.crews.at("grafting");
  crew.people = 1;
  CHECK(crew.people_on(day("2027-03-02")) == 0);
  CHECK(crew.person_seconds(day("2027-03-02"), site.working) == 0);
}

TEST_CASE("a room has a turnover in whole days") {
  const Site site = site_of("rooms: {chamber: {holds: 40 trays, turnover: 2 days}, bench: {}}\n");
  CHECK(site.rooms.at("chamber").turnover == 2);
  CHECK(site.rooms.at("bench").turnover == 0);
  CHECK(site_of("rooms: {a: {turnover: 48 h}}\n").rooms.at("a").turnover == 2);
  CHECK(site_of("rooms: {a: {turnover: 0 days}}\n").rooms.at("a").turnover == 0);
  CHECK(site_of("rooms: {a: {turnover: 60 days}}\n").rooms.at("a").turnover == 60);
}

TEST_CASE("every mistake in rooms, hours, leave and extra people is named at its place") {
  struct Mistake {
    const char* lines;
    const char* problem;
  };
  const Mistake mistakes[] = {
      {"rooms: {a: {turnover: 36 h}}\n",
       "site.yaml:2:23 error wrong-value `turnover` wants whole days, such as `2 days`."},
      {"rooms: {a: {turnover: 2}}\n",
       "site.yaml:2:23 error wrong-value `turnover` wants whole days, such as `2 days`."},
      {"rooms: {a: {turnover: -1 day}}\n",
       "site.yaml:2:23 error out-of-range `turnover` can be from 0 to 60 days."},
      {"rooms: {a: {turnover: 61 days}}\n",
       "site.yaml:2:23 error out-of-range `turnover` can be from 0 to 60 days."},
      {"rooms: {a: {holds: 0 trays}}\n",
       "site.yaml:2:20 error out-of-range `holds` has to be more than 0. Write `holds: no limit` "
       "if "
       "there is none."},
      {"crews: {a: {people: 0, hours: 4 h}}\n",
       "site.yaml:2:21 error out-of-range `people` can be from 1 to 10000."},
      {"crews: {a: {people: 1, hours: {}}}\n",
       "site.yaml:2:31 error wrong-value `hours` wants a length of time for each weekday, such as "
       "`{mon: 7 h, fri: 4 h}`."},
      {"crews: {a: {people: 1, hours: {mon: 0 h}}}\n",
       "site.yaml:2:37 error out-of-range `hours` has to be more than 0."},
      {"crews: {a: {people: 1, hours: {mon: 4 h, fry: 3 h}}}\n",
       "site.yaml:2:42 error wrong-value `hours` wants weekdays, and this is none. Did you mean "
       "`fri`?"},
      {"crews: {a: {people: 1, hours: {mon: 4 h, Monday: 3 h}}}\n",
       "site.yaml:2:42 error repeated-value This weekday stands here twice. Remove one of them."},
      {"crews: {a: {people: 1, hours: {mon: 4 h, fri: 30 min}, pauses: 30 min}}\n",
       "site.yaml:2:64 error out-of-range `pauses` have to be shorter than `hours`: nothing is "
       "left to work in. Write what each person pauses a day."},
      {"crews: {a: {people: 1, hours: 4 h, leave: 2027-03-01}}\n",
       "site.yaml:2:43 error wrong-value `leave` wants a list of days, such as `[{from: "
       "2027-05-10, to: 2027-05-14, people: 1}]`."},
      {"crews: {a: {people: 1, hours: 4 h, leave: [2027-03-01]}}\n",
       "site.yaml:2:44 error wrong-kind Lines of the form `key: value` belong here. The keys are "
       "on, from, to and people."},
      {"crews: {a: {people: 1, hours: 4 h, leave: [{people: 1}]}}\n",
       "site.yaml:2:44 error wrong-value These days have no beginning and end. Write `on: "
       "2027-05-10` for one day, else `from: 2027-05-10` and `to: 2027-05-14`."},
      {"crews: {a: {people: 1, hours: 4 h, leave: [{on: 2027-03-01, to: 2027-03-02}]}}\n",
       "site.yaml:2:44 error wrong-value These days have no beginning and end. Write `on: "
       "2027-05-10` for one day, else `from: 2027-05-10` and `to: 2027-05-14`."},
      {"crews: {a: {people: 1, hours: 4 h, leave: [{from: 2027-03-02, to: 2027-03-01}]}}\n",
       "site.yaml:2:67 error out-of-range These days end before they begin. Write the earlier date "
       "as `from`."},
      {"crews: {a: {people: 1, hours: 4 h, leave: [{on: 2027-02-30}]}}\n",
       "site.yaml:2:49 error no-such-date `2027-02-30` is no date: there is no 30 February."},
      {"crews: {a: {people: 2, hours: 4 h, leave: [{on: 2027-03-01, people: -1}]}}\n",
       "site.yaml:2:69 error out-of-range `people` can be from 1 to 10000."},
      {"crews: {a: {people: 2, hours: 4 h, leave: [{on: 2027-03-01, number: 1}]}}\n",
       "site.yaml:2:61 error unknown-key `number` is not a key of `leave`. The keys are on, from, "
       "to and people."},
      {"crews: {a: {people: 2, hours: 4 h, leave: [{on: 2027-03-01, people: 3}]}}\n",
       "site.yaml:2:44 error out-of-range On Mon 2027-03-01 3 of crew `a` are away, and there are "
       "2. Write each absence once, and `people` for how many are away."},
      {"crews: {a: {people: 2, hours: 4 h, leave: [{on: 2027-03-01}, {on: 2027-03-01}]}}\n",
       "site.yaml:2:62 warning repeated-value These days stand here twice, and both entries count. "
       "Write `people: 2` in one of them, or remove one."},
      {"working: {days: [mon]}\ncrews: {a: {people: 2, hours: 4 h, extra: [{on: 2027-03-02}]}}\n",
       "site.yaml:3:44 warning no-hours On none of these days the crew works, so extra people do "
       "not come either. Choose working days of the site on which `hours` says how long."},
      {"crews: {a: {people: 2, hours: {tue: 4 h}, extra: [{on: 2027-03-01}]}}\n",
       "site.yaml:2:51 warning no-hours On none of these days the crew works, so extra people do "
       "not come either. Choose working days of the site on which `hours` says how long."},
  };
  for (const Mistake& mistake : mistakes) {
    CAPTURE(std::string(mistake.lines));
    CHECK(joined(problems_of_site(std::string("site: N\n") + mistake.lines)) ==
          std::string(mistake.problem) + "\n");
  }
}

TEST_CASE("leave that outlasts extra people is too much behind their last day") {
  const std::string lines =
      "site: N\ncrews:\n  a:\n    people: 1\n    hours: 4 h\n"
      "    leave: [{from: 2027-03-01, to: 2027-03-05, people: 2}]\n"
      "    extra: [{from: 2027-03-01, to: 2027-03-03, people: 1}]\n";
  CHECK(joined(problems_of_site(lines)) ==
        "site.yaml:6:13 error out-of-range On Thu 2027-03-04 2 of crew `a` are away, and there are "
        "1. Write each absence once, and `people` for how many are away.\n");
}
