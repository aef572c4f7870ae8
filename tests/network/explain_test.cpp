#include "network/explain.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <bit>
#include <vector>

#include "random_network.hpp"

using namespace budwood;
using namespace budwood::network;

namespace {

/// All facts of a network.
std::vector<Fact> all_facts(const Network& network) {
  using enum Fact::Kind;
  std::vector<Fact> facts;
  for (PointId id = 0; id < network.point_count(); ++id) {
    const Network::Point& point = network.point(id);
    if (point.not_before) facts.push_back({not_before, id, 0});
    if (point.not_after) facts.push_back({not_after, id, 0});
    if (point.allowed) facts.push_back({allowed, id, 0});
  }
  for (LinkId id = 0; id < network.link_count(); ++id) {
    const Network::Link& link = network.link(id);
    if (link.length) facts.push_back({length, id, 0});
    if (link.low) facts.push_back({link_low, id, 0});
    if (link.high) facts.push_back({link_high, id, 0});
  }
  return facts;
}

/// The network with some of its facts only, `skip` left out and `loosened` given way by `days`.
Network only(const Network& whole, const std::vector<Fact>& facts, std::size_t skip = SIZE_MAX,
             std::size_t loosened = SIZE_MAX, Day days = 0) {
  Network part;
  for (PointId id = 0; id < whole.point_count(); ++id) part.add_point();
  for (std::size_t i = 0; i < facts.size(); ++i) {
    if (i == skip) continue;
    const std::uint32_t id = facts[i].id;
    const Day by = i == loosened ? days : 0;
    switch (facts[i].kind) {
      case Fact::Kind::link_low:
        part.add_link(whole.link(id).from, whole.link(id).to, *whole.link(id).low - by, {});
        break;
      case Fact::Kind::link_high:
        part.add_link(whole.link(id).from, whole.link(id).to, {}, *whole.link(id).high + by);
        break;
      case Fact::Kind::length:
        part.add_length(whole.link(id).from, whole.link(id).to, whole.link(id).length);
        break;
      case Fact::Kind::not_before:
        part.set_not_before(id, *whole.point(id).not_before - by);
        break;
      case Fact::Kind::not_after:
        part.set_not_after(id, *whole.point(id).not_after + by);
        break;
      case Fact::Kind::allowed:
        part.set_allowed(id, whole.point(id).allowed);
        break;
    }
  }
  return part;
}

bool contradicts(const Network& network) {
  Solver solver;
  std::vector<Day> days;
  return !solver.latest(network, days) && !solver.conflict().unbounded;
}

bool can_give_way(const Fact& fact) {
  return fact.kind != Fact::Kind::length && fact.kind != Fact::Kind::allowed;
}

/// The least number of days by which one bound must give way; 0 when none helps.
Day least_loosening(const Network& network, const std::vector<Fact>& facts) {
  for (Day days = 1; days < 60; ++days) {
    for (std::size_t i = 0; i < facts.size(); ++i) {
      if (!can_give_way(facts[i])) continue;
      if (!contradicts(only(network, facts, SIZE_MAX, i, days))) return days;
    }
  }
  return 0;
}

void check_conflict(const Network& network, const Conflict& conflict) {
  REQUIRE(contradicts(only(network, conflict.facts)));
  for (std::size_t i = 0; i < conflict.facts.size(); ++i) {
    CAPTURE(i);
    REQUIRE_FALSE(contradicts(only(network, conflict.facts, i)));
  }
  REQUIRE(conflict.misses == least_loosening(network, conflict.facts));
  for (const Fact& fact : conflict.facts) {
    if (fact.kind != Fact::Kind::allowed) continue;
    const calendar::DaySet& allowed = *network.point(fact.id).allowed;
    REQUIRE((!allowed.contains(fact.day) || fact.day == calendar::last_day ||
             fact.day == calendar::first_day));
  }
}

/// Whether the whole network has a plan when one bound gives way.
bool loosening_helps(const Network& network, const Fact& fact, Day by) {
  const std::vector<Fact> facts = all_facts(network);
  std::size_t index = 0;
  while (facts[index].kind != fact.kind || facts[index].id != fact.id) ++index;
  return !contradicts(only(network, facts, SIZE_MAX, index, by));
}

/// Whether the whole network has a plan with one date on a day, allowed or not.
bool day_helps(const Network& network, PointId point, Day day) {
  Network changed = network;
  const Network::Point& bounds = network.point(point);
  changed.set_allowed(point, nullptr);
  changed.set_not_before(point, std::max(day, bounds.not_before.value_or(day)));
  changed.set_not_after(point, std::min(day, bounds.not_after.value_or(day)));
  return !contradicts(changed);
}

/// The size of the smallest contradictory set of facts, by trying all sets.
std::size_t smallest_size(const Network& network) {
  const std::vector<Fact> facts = all_facts(network);
  std::size_t smallest = SIZE_MAX;
  for (std::uint32_t mask = 1; mask < (1U << facts.size()); ++mask) {
    const auto size = static_cast<std::size_t>(std::popcount(mask));
    if (size >= smallest) continue;
    std::vector<Fact> chosen;
    for (std::size_t i = 0; i < facts.size(); ++i) {
      if (mask & (1U << i)) chosen.push_back(facts[i]);
    }
    if (contradicts(only(network, chosen))) smallest = size;
  }
  return smallest;
}

}  // namespace

TEST_CASE("a conflict cannot do without any of its facts and misses by the least that helps") {
  Solver solver;
  std::vector<Day> days;
  int seen = 0;
  for (std::uint32_t seed = 0; seed < 2500; ++seed) {
    CAPTURE(seed);
    const RandomNetwork random(seed, seed % 2 == 0);
    if (!contradicts(random.network)) {
      REQUIRE(shortest_conflict(random.network).facts.empty());
      continue;
    }
    ++seen;
    solver.latest(random.network, days);
    check_conflict(random.network, solver.conflict());
    solver.earliest(random.network, days);
    check_conflict(random.network, solver.conflict());
    check_conflict(random.network, shortest_conflict(random.network));
  }
  CHECK(seen > 500);
}

TEST_CASE("the shortest explanation is the shortest there is") {
  int seen = 0, longer = 0;
  for (std::uint32_t seed = 0; seen < 250; ++seed) {
    const RandomNetwork random(seed, false);
    if (!contradicts(random.network) || all_facts(random.network).size() > 11) continue;
    CAPTURE(seed);
    ++seen;
    const std::size_t size = shortest_conflict(random.network).facts.size();
    const std::size_t smallest = smallest_size(random.network);
    REQUIRE(size >= smallest);
    longer += size > smallest;
  }
  // Only a chain that must use one fact twice may come out longer.
  CHECK(longer == 0);
}

TEST_CASE("the shortest of several explanations is found, with and without dates") {
  using enum Fact::Kind;
  Network network;
  for (int i = 0; i < 6; ++i) network.add_point();
  for (PointId i = 0; i < 5; ++i) network.add_link(i, i + 1, 5, 5);
  network.add_link(0, 5, {}, 20);  // five links and this one miss by 5
  network.add_link(1, 3, {}, 9);   // two links and this one miss by 1
  const Conflict links = shortest_conflict(network);
  CHECK(links.facts.size() == 3);
  CHECK(links.misses == 1);

  network.set_not_before(2, 1000);
  network.set_not_after(2, 998);
  const Conflict dates = shortest_conflict(network);
  CHECK(dates.facts == std::vector<Fact>{{not_after, 2, 0}, {not_before, 2, 0}});
  CHECK(dates.misses == 2);
}

TEST_CASE("a short chain that misses by little is preferred to a long one that misses by more") {
  using enum Fact::Kind;
  Network network;
  for (int i = 0; i < 6; ++i) network.add_point();
  const LinkId alone = network.add_link(0, 1, 11, {});
  network.set_not_before(0, 1000);
  network.set_not_after(1, 1010);
  for (PointId i = 2; i < 5; ++i) network.add_link(i, i + 1, 5, {});
  network.set_not_before(2, 1000);
  network.set_not_after(5, 1010);
  Solver solver;
  std::vector<Day> days;
  CHECK_FALSE(solver.latest(network, days));
  CHECK(solver.conflict().misses == 5);  // the chain, met first
  const Conflict conflict = shortest_conflict(network);
  CHECK(conflict.facts ==
        std::vector<Fact>{{not_after, 1, 0}, {link_low, alone, 0}, {not_before, 0, 0}});
  CHECK(conflict.misses == 1);
}

TEST_CASE("of two that are equally short the one that misses by more is named") {
  Network network;
  for (int i = 0; i < 4; ++i) network.add_point();
  network.add_link(0, 1, 5, 4);
  network.add_link(2, 3, 9, 2);
  const Conflict conflict = shortest_conflict(network);
  CHECK(conflict.misses == 7);
  CHECK(conflict.facts.size() == 2);

  Network dates;
  for (const Day gap : {3, 8, 5}) {
    const PointId point = dates.add_point();
    dates.set_not_before(point, 1000 + gap);
    dates.set_not_after(point, 1000);
  }
  CHECK(shortest_conflict(dates).misses == 8);
}

TEST_CASE("repairs: the smallest single change of each kind") {
  using enum Fact::Kind;
  using calendar::Weekday;
  const calendar::WorkingDays working(
      {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
      {});
  const Day saturday = *calendar::day_of({2027, 3, 13});
  Network network;
  const PointId graft = network.add_point(&working.days());
  const PointId out = network.add_point();
  const LinkId healing = network.add_link(graft, out, 10, 14);
  network.set_not_before(graft, saturday);
  network.set_not_after(out,
                        saturday + 11);  // the Sunday after at the latest, with 10 days of healing
  const Conflict conflict = shortest_conflict(network);
  REQUIRE(conflict.facts.size() == 4);
  CHECK(conflict.misses == 1);

  const std::vector<Repair> expected{
      {{not_after, out, 0}, 1, saturday + 12},            // then graft on Monday
      {{link_low, healing, 0}, 1, 9},                     // the same with a day less
      {{allowed, graft, saturday + 1}, 0, saturday + 1},  // or graft on Sunday
      {{not_before, graft, 0}, 1, saturday - 1},          // or on the Friday before
  };
  CHECK(repairs(network, conflict) == expected);
  CHECK(repairs(network, conflict, 0) == std::vector<Repair>{expected[2]});
}

TEST_CASE("repairs make the whole network feasible and a day less does not") {
  constexpr Day limit = 15;
  int seen = 0, found = 0;
  for (std::uint32_t seed = 0; seed < 1200; ++seed) {
    CAPTURE(seed);
    const RandomNetwork random(seed, true);
    Solver solver;
    std::vector<Day> days;
    const bool forwards = seed % 2 == 0;
    if (forwards ? solver.earliest(random.network, days) : solver.latest(random.network, days)) {
      continue;
    }
    const Conflict& conflict = solver.conflict();
    ++seen;
    const std::vector<Repair> repaired = repairs(random.network, conflict, limit);
    found += static_cast<int>(repaired.size());
    auto repair = repaired.begin();
    for (const Fact& fact : conflict.facts) {
      if (fact.kind == Fact::Kind::length) continue;
      const auto helps = [&](Day by) {
        return can_give_way(fact) ? loosening_helps(random.network, fact, by)
                                  : day_helps(random.network, fact.id, fact.day + by) ||
                                        day_helps(random.network, fact.id, fact.day - by);
      };
      Day least = can_give_way(fact) ? 1 : 0;
      while (least <= limit && !helps(least)) ++least;
      if (least > limit) continue;  // then there must be no repair of this fact either
      REQUIRE(repair != repaired.end());
      REQUIRE(repair->fact.kind == fact.kind);
      REQUIRE(repair->fact.id == fact.id);
      // Of days to allow the nearest to those that are allowed comes first, so it may lie further
      // off.
      if (can_give_way(fact)) {
        REQUIRE(repair->by == least);
      } else {
        REQUIRE(repair->by >= least);
        REQUIRE(day_helps(random.network, fact.id, repair->bound));
      }
      ++repair;
    }
    REQUIRE(repair == repaired.end());
  }
  CHECK(seen > 300);
  CHECK(found > 300);
}

TEST_CASE("two contradictions that share nothing have no single repair") {
  Network network;
  for (int i = 0; i < 4; ++i) network.add_point();
  network.add_link(0, 1, 5, 4);
  network.add_link(2, 3, 9, 2);
  CHECK(repairs(network, shortest_conflict(network)).empty());
}
