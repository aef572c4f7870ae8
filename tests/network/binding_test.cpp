#include "network/binding.hpp"

#include <doctest/doctest.h>

#include "random_network.hpp"

using namespace budwood;
using namespace budwood::network;

namespace {

/// Works a chain through from its end: each step gives the bound of the one before it.
Day worked_through(const Network& network, const std::vector<Binding>& chain) {
  Day day = 0;
  for (auto step = chain.rbegin(); step != chain.rend(); ++step) {
    const Network::Point& point = network.point(step->point);
    Day bound = calendar::last_day;
    if (step->fact.kind == Fact::Kind::not_after) {
      REQUIRE(step == chain.rbegin());
      bound = *point.not_after;
    } else if (step->fact.kind == Fact::Kind::allowed) {
      REQUIRE(step == chain.rbegin());
    } else if (step == chain.rbegin()) {
      REQUIRE(step->fact.kind == Fact::Kind::length);
      bound = *network.link(step->fact.id).length->latest_start(calendar::last_day);
    } else {
      const Network::Link& link = network.link(step->fact.id);
      const bool back = link.from == step->point;
      REQUIRE((back ? link.to : link.from) == std::prev(step)->point);
      if (link.length != nullptr) {
        bound = back ? *link.length->latest_start(day) : *link.length->end_of(day);
      } else {
        bound = back ? day - *link.low : day + *link.high;
      }
    }
    REQUIRE(bound == step->bound);
    day = point.allowed == nullptr ? bound : *point.allowed->previous(bound);
    REQUIRE(day == step->day);
  }
  return day;
}

/// The same from below, for links that count days and for dates.
Day worked_up(const Network& network, const std::vector<Binding>& chain) {
  Day day = 0;
  for (auto step = chain.rbegin(); step != chain.rend(); ++step) {
    const Network::Point& point = network.point(step->point);
    const bool of_link =
        step->fact.kind == Fact::Kind::link_low || step->fact.kind == Fact::Kind::link_high;
    if (step->fact.kind == Fact::Kind::not_before) {
      REQUIRE(step == chain.rbegin());
      REQUIRE(step->bound == *point.not_before);
    } else if (of_link) {
      const Network::Link& link = network.link(step->fact.id);
      const bool forward = link.to == step->point;
      REQUIRE((forward ? link.from : link.to) == std::prev(step)->point);
      REQUIRE(step->bound == (forward ? day + *link.low : day - *link.high));
    } else if (step->fact.kind == Fact::Kind::length && step != chain.rbegin()) {
      const Network::Link& link = network.link(step->fact.id);
      REQUIRE(*link.length->end_of(link.to == step->point ? day : step->bound) >=
              (link.to == step->point ? step->bound : day));
    }
    day = point.allowed == nullptr ? step->bound : *point.allowed->next(step->bound);
    REQUIRE(day == step->day);
  }
  return day;
}

}  // namespace

TEST_CASE("every date of the latest plan is held by a chain of facts that ends in a bound") {
  Solver solver;
  std::vector<Day> days;
  int plans = 0;
  std::size_t longest = 0;
  for (std::uint32_t seed = 0; seed < 4000; ++seed) {
    CAPTURE(seed);
    const RandomNetwork random(seed, seed % 2 == 0);
    if (!solver.latest(random.network, days)) continue;
    ++plans;
    for (PointId point = 0; point < days.size(); ++point) {
      const std::vector<Binding> chain = bindings(random.network, point);
      REQUIRE_FALSE(chain.empty());
      CHECK(chain.front().point == point);
      CHECK(worked_through(random.network, chain) == days[point]);
      longest = std::max(longest, chain.size());
    }
  }
  CHECK(plans > 500);
  CHECK(longest >= 4);
}

TEST_CASE("every date of the earliest plan is held from below, up to a bound of its own") {
  Solver solver;
  std::vector<Day> days;
  int plans = 0;
  for (std::uint32_t seed = 0; seed < 4000; ++seed) {
    CAPTURE(seed);
    const RandomNetwork random(seed, seed % 2 == 0);
    const Network& network = random.network;
    if (!solver.earliest(network, days)) continue;
    ++plans;
    for (PointId point = 0; point < days.size(); ++point) {
      const std::vector<Binding> chain = earliest_bindings(network, point);
      REQUIRE_FALSE(chain.empty());
      CHECK(chain.front().point == point);
      CHECK(chain.front().day == days[point]);
      CHECK(worked_up(network, chain) == days[point]);
    }
  }
  CHECK(plans > 500);
}

TEST_CASE("a chain goes through dates that had to give way again") {
  calendar::DaySet even;
  for (Day day = 0; day < 100; day += 2) even.insert(day);
  Network network;
  const PointId sown = network.add_point(&even);
  const PointId grown = network.add_point();
  const PointId ready = network.add_point();
  network.add_link(sown, grown, 7, 7);
  network.add_link(grown, ready, 0, 3);
  network.set_not_after(ready, 50);
  const auto chain = bindings(network, sown);
  REQUIRE(chain.size() == 3);
  // Grown on 50 means sown on 43, but only even days will do; so it is grown on 49.
  CHECK(chain[0].day == 42);
  CHECK(chain[0].bound == 43);
  CHECK(chain[1].point == grown);
  CHECK(chain[1].day == 50);
  CHECK(chain[2].point == ready);
  CHECK(bindings(network, grown).front().day == 49);
}

TEST_CASE("without a plan, or without a bound, there is no chain") {
  Network circle;
  const PointId a = circle.add_point();
  const PointId b = circle.add_point();
  circle.add_link(a, b, 3, {});
  circle.add_link(b, a, 1, {});
  CHECK(bindings(circle, a).empty());
  circle.set_not_after(b, 500);
  CHECK(bindings(circle, a).empty());
}
