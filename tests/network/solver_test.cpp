#include <doctest/doctest.h>

#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "network/network.hpp"

using namespace budwood;
using namespace budwood::network;

namespace {

/// A task with its start, end and what it waits for.
struct Task {
  std::string name;
  Day length;
  std::string after;
};

/// A project of tasks as a network, with one more point for its end.
struct Project {
  explicit Project(const std::vector<Task>& tasks) {
    for (const Task& task : tasks) {
      start[task.name] = network.add_point();
      end[task.name] = network.add_point();
      network.add_link(start[task.name], end[task.name], task.length, task.length);
    }
    finish = network.add_point();
    for (const Task& task : tasks) {
      network.set_not_before(start[task.name], 0);
      network.add_link(end[task.name], finish, 0, {});
      for (const char before : task.after) {
        network.add_link(end[std::string(1, before)], start[task.name], 0, {});
      }
    }
  }

  /// "earliest start/earliest end/latest start/latest end" when nothing ends after the earliest
  /// finish, as textbooks print it.
  std::string dates(const std::string& name) {
    Solver solver;
    REQUIRE(solver.earliest(network, earliest));
    network.set_not_after(finish, earliest[finish]);
    REQUIRE(solver.latest(network, latest));
    network.set_not_after(finish, {});
    std::ostringstream text;
    text << earliest[start[name]] << '/' << earliest[end[name]] << '/' << latest[start[name]] << '/'
         << latest[end[name]];
    return text.str();
  }

  Network network;
  std::map<std::string, PointId> start, end;
  PointId finish = 0;
  std::vector<Day> earliest, latest;
};

Day day_of(int year, unsigned month, unsigned day) {
  return *calendar::day_of({year, month, day});
}

const calendar::DaySet& weekdays() {
  using enum calendar::Weekday;
  static const calendar::WorkingDays working({monday, tuesday, wednesday, thursday, friday}, {});
  return working.days();
}

}  // namespace

// Heizer & Render, Operations Management, Milwaukee Paper example.
TEST_CASE("critical path: Milwaukee Paper") {
  Project project({{"A", 2, ""},
                   {"B", 3, ""},
                   {"C", 2, "A"},
                   {"D", 4, "B"},
                   {"E", 4, "C"},
                   {"F", 3, "C"},
                   {"G", 5, "DE"},
                   {"H", 2, "FG"}});
  CHECK(project.dates("A") == "0/2/0/2");
  CHECK(project.dates("B") == "0/3/1/4");
  CHECK(project.dates("C") == "2/4/2/4");
  CHECK(project.dates("D") == "3/7/4/8");
  CHECK(project.dates("E") == "4/8/4/8");
  CHECK(project.dates("F") == "4/7/10/13");
  CHECK(project.dates("G") == "8/13/8/13");
  CHECK(project.dates("H") == "13/15/13/15");
  CHECK(project.earliest[project.finish] == 15);
}

// Operations class slide set on the critical path method.
TEST_CASE("critical path: eleven tasks") {
  Project project({{"A", 4, ""},
                   {"B", 6, "A"},
                   {"C", 3, "A"},
                   {"D", 6, "B"},
                   {"E", 14, "D"},
                   {"F", 5, "C"},
                   {"G", 2, "EF"},
                   {"H", 2, "G"},
                   {"I", 3, "G"},
                   {"J", 4, "HI"},
                   {"K", 2, "J"}});
  CHECK(project.dates("C") == "4/7/22/25");
  CHECK(project.dates("F") == "7/12/25/30");
  CHECK(project.dates("H") == "32/34/33/35");
  CHECK(project.earliest[project.finish] == 41);
  for (const std::string name : {"A", "B", "D", "E", "G", "I", "J", "K"}) {
    CAPTURE(name);
    const std::string dates = project.dates(name);
    CHECK(project.earliest[project.start[name]] == project.latest[project.start[name]]);
  }
}

TEST_CASE("a plan runs backwards from the day it must be ready") {
  Network network;
  const PointId sow = network.add_point(&weekdays());
  const PointId graft = network.add_point(&weekdays());
  const PointId ready = network.add_point();
  network.add_link(sow, graft, 20, 23);
  network.add_link(graft, ready, 14, 17);
  network.set_not_after(ready, day_of(2027, 5, 10));  // a Monday

  Solver solver;
  std::vector<Day> days;
  REQUIRE(solver.latest(network, days));
  CHECK(calendar::iso_date(days[ready]) == "2027-05-10");
  CHECK(calendar::iso_date(days[graft]) == "2027-04-26");  // Monday
  CHECK(calendar::iso_date(days[sow]) == "2027-04-06");    // Tuesday
  CHECK(solver.conflict().facts.empty());

  SUBCASE("a day off moves the dates before it, and those after it no more than they must") {
    calendar::DaySet closed = weekdays();
    closed.remove(day_of(2027, 4, 26));
    network.set_allowed(graft, &closed);
    REQUIRE(solver.latest(network, days));
    CHECK(calendar::iso_date(days[graft]) == "2027-04-23");  // Friday before
    CHECK(calendar::iso_date(days[ready]) == "2027-05-10");
    CHECK(calendar::iso_date(days[sow]) == "2027-04-02");
  }
  SUBCASE("forwards from the day it starts") {
    network.set_not_after(ready, {});
    network.set_not_before(sow, day_of(2027, 3, 6));  // a Saturday
    REQUIRE(solver.earliest(network, days));
    CHECK(calendar::iso_date(days[sow]) == "2027-03-08");
    CHECK(calendar::iso_date(days[graft]) == "2027-03-29");  // 28 is a Sunday
    CHECK(calendar::iso_date(days[ready]) == "2027-04-12");
  }
}

TEST_CASE("what nothing bounds is named") {
  Network network;
  const PointId bounded = network.add_point();
  const PointId free = network.add_point();
  network.add_link(bounded, free, 3, {});
  network.set_not_after(bounded, 100);
  Solver solver;
  std::vector<Day> days;
  CHECK_FALSE(solver.latest(network, days));
  CHECK(solver.conflict().facts.empty());
  CHECK(solver.conflict().unbounded == free);
  CHECK_FALSE(solver.earliest(network, days));
  CHECK(solver.conflict().unbounded == bounded);

  network.set_link(0, 3, 8);
  REQUIRE(solver.latest(network, days));
  CHECK(days == std::vector<Day>{100, 108});
  CHECK_FALSE(solver.conflict().unbounded);
}

TEST_CASE("a contradiction names what pushes, in order, and by how much it misses") {
  Network network;
  const PointId start = network.add_point();
  const PointId middle = network.add_point();
  const PointId end = network.add_point();
  const LinkId first = network.add_link(start, middle, 10, 12);
  const LinkId second = network.add_link(middle, end, 5, 6);
  network.set_not_before(start, 1000);
  network.set_not_after(end, 1012);
  Solver solver;
  std::vector<Day> days;
  using enum Fact::Kind;
  SUBCASE("from the end") {
    CHECK_FALSE(solver.latest(network, days));
    const std::vector<Fact> facts{
        {not_after, end, 0}, {link_low, second, 0}, {link_low, first, 0}, {not_before, start, 0}};
    CHECK(solver.conflict().facts == facts);
  }
  SUBCASE("from the start") {
    CHECK_FALSE(solver.earliest(network, days));
    const std::vector<Fact> facts{
        {not_before, start, 0}, {link_low, first, 0}, {link_low, second, 0}, {not_after, end, 0}};
    CHECK(solver.conflict().facts == facts);
  }
  CHECK(solver.conflict().misses == 3);
}

TEST_CASE("a day that is wanted and not allowed is part of the reason") {
  Network network;
  const PointId work = network.add_point(&weekdays());
  network.set_not_before(work, day_of(2027, 3, 13));
  network.set_not_after(work, day_of(2027, 3, 14));  // Saturday and Sunday
  Solver solver;
  std::vector<Day> days;
  CHECK_FALSE(solver.latest(network, days));
  using enum Fact::Kind;
  const std::vector<Fact> facts{
      {not_after, work, 0}, {allowed, work, day_of(2027, 3, 14)}, {not_before, work, 0}};
  CHECK(solver.conflict().facts == facts);
  CHECK(solver.conflict().misses == 1);  // Friday 12 or Monday 15 would do
}

TEST_CASE("links can contradict themselves without any date") {
  Network network;
  const PointId a = network.add_point();
  const PointId b = network.add_point();
  const PointId c = network.add_point();
  network.add_link(a, b, 4, {});
  network.add_link(b, c, 5, {});
  network.add_link(a, c, {}, 7);
  network.add_point();  // takes no part
  Solver solver;
  std::vector<Day> days;
  CHECK_FALSE(solver.latest(network, days));
  CHECK(solver.conflict().facts.size() == 3);
  CHECK(solver.conflict().misses == 2);
  CHECK_FALSE(solver.earliest(network, days));
  CHECK(solver.conflict().facts.size() == 3);
  CHECK(solver.conflict().misses == 2);
}

TEST_CASE("a link of a point to itself, a link whose sides cross, and an empty set") {
  Solver solver;
  std::vector<Day> days;
  SUBCASE("itself") {
    Network network;
    const PointId point = network.add_point();
    network.set_not_after(point, 10);
    network.add_link(point, point, 0, 0);
    CHECK(solver.latest(network, days));
    network.add_link(point, point, 2, {});
    CHECK_FALSE(solver.latest(network, days));
    CHECK(solver.conflict().facts == std::vector<Fact>{{Fact::Kind::link_low, 1, 0}});
    CHECK(solver.conflict().misses == 2);
  }
  SUBCASE("crossed") {
    Network network;
    const PointId a = network.add_point();
    const PointId b = network.add_point();
    network.add_link(a, b, 5, 3);
    CHECK_FALSE(solver.latest(network, days));
    CHECK(solver.conflict().facts.size() == 2);
    CHECK(solver.conflict().misses == 2);
  }
  SUBCASE("empty") {
    const calendar::DaySet none = calendar::DaySet::none();
    Network network;
    network.add_point(&none);
    CHECK_FALSE(solver.latest(network, days));
    CHECK(solver.conflict().facts.size() == 1);
    CHECK(solver.conflict().facts[0].kind == Fact::Kind::allowed);
    CHECK(solver.conflict().misses == 0);
    CHECK_FALSE(solver.earliest(network, days));
    CHECK(solver.conflict().facts.size() == 1);
  }
  SUBCASE("nothing at all") {
    Network network;
    CHECK(solver.latest(network, days));
    CHECK(days.empty());
  }
}

TEST_CASE("dates that chase each other over sets without a common day come to an end") {
  calendar::DaySet even = calendar::DaySet::none(), odd = even;
  for (Day day = calendar::first_day; day <= calendar::last_day; ++day) {
    (day % 2 == 0 ? even : odd).insert(day);
  }
  Network network;
  const PointId a = network.add_point(&even);
  const PointId b = network.add_point(&odd);
  network.add_link(a, b, 0, 0);
  network.set_not_after(b, day_of(2027, 5, 10));
  Solver solver;
  std::vector<Day> days;
  CHECK_FALSE(solver.latest(network, days));
  CHECK(solver.conflict().facts.size() == 4);  // both sets, both sides of the link; no date
  CHECK(solver.conflict().misses == 1);
  CHECK_FALSE(solver.earliest(network, days));
  CHECK(solver.conflict().facts.size() == 4);
}

TEST_CASE("one solver serves networks of different sizes") {
  Solver solver;
  std::vector<Day> days;
  for (const std::size_t size : {50, 3, 200, 1}) {
    Network network;
    for (std::size_t i = 0; i < size; ++i) network.add_point();
    for (PointId i = 1; i < size; ++i) network.add_link(i - 1, i, 2, 3);
    network.set_not_after(static_cast<PointId>(size - 1), 1000);
    REQUIRE(solver.latest(network, days));
    CHECK(days.size() == size);
    CHECK(days.front() == 1000 - 2 * static_cast<Day>(size - 1));
  }
}
