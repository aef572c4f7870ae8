#include <doctest/doctest.h>

#include <random>

#include "network/network.hpp"

using namespace budwood::network;

namespace {

/// Up to the next day that is a multiple of seven: never earlier for a later start.
class ToSunday : public MonotoneLength {
 public:
  std::optional<Day> end_of(Day start) const override { return (start + 6) / 7 * 7; }
  std::optional<Day> latest_start(Day end) const override {
    if (end < 0) return std::nullopt;
    return end / 7 * 7;
  }
};

}  // namespace

TEST_CASE("a limit lets the follower come early but not late") {
  const ToSunday to_sunday;
  Network network;
  const PointId a = network.add_point();
  const PointId b = network.add_point();
  network.set_not_before(a, 10);
  network.set_not_after(b, 40);
  network.add_link(a, b, 0, std::nullopt);
  network.add_limit(a, b, &to_sunday);
  Solver solver;
  std::vector<Day> days;
  REQUIRE(solver.latest(network, days));
  CHECK(days == std::vector<Day>{40, 40});
  network.set_not_after(a, 33);
  REQUIRE(solver.latest(network, days));
  CHECK(days == std::vector<Day>{33, 35});
  network.set_not_before(b, 30);
  REQUIRE(solver.earliest(network, days));
  CHECK(days == std::vector<Day>{29, 30});
}

TEST_CASE("with limits both plans agree with trying every pair of days") {
  const ToSunday to_sunday;
  std::mt19937 random(20270314);
  const auto draw = [&](int low, int high) {
    return std::uniform_int_distribution<int>(low, high)(random);
  };
  int feasible = 0;
  for (int round = 0; round < 2000; ++round) {
    Network network;
    const Day low[] = {draw(0, 20), draw(0, 20)};
    const Day high[] = {low[0] + draw(0, 25), low[1] + draw(0, 25)};
    const Day gap = draw(-3, 5);
    for (const int i : {0, 1}) {
      const PointId point = network.add_point();
      network.set_not_before(point, low[i]);
      network.set_not_after(point, high[i]);
    }
    network.add_link(0, 1, gap, std::nullopt);
    network.add_limit(0, 1, &to_sunday);
    std::vector<Day> latest{-1, -1};
    std::vector<Day> earliest{1000, 1000};
    for (Day a = low[0]; a <= high[0]; ++a) {
      for (Day b = low[1]; b <= high[1]; ++b) {
        if (b - a < gap || b > *to_sunday.end_of(a)) continue;
        latest = {std::max(latest[0], a), std::max(latest[1], b)};
        earliest = {std::min(earliest[0], a), std::min(earliest[1], b)};
      }
    }
    Solver solver;
    std::vector<Day> days;
    const bool any = latest[0] >= 0;
    feasible += any ? 1 : 0;
    REQUIRE(solver.latest(network, days) == any);
    if (any) CHECK(days == latest);
    REQUIRE(solver.earliest(network, days) == any);
    if (any) CHECK(days == earliest);
  }
  CHECK(feasible > 500);
  CHECK(feasible < 1900);
}

namespace {

/// Two dates between bounds, the second `gap` days after the first or later, and by Sunday; with
/// `most` it comes at most so many days later instead.
struct Pair {
  Day low[2], high[2], gap = 0;
  std::optional<Day> most;

  bool has_plan(const ToSunday& to_sunday) const {
    for (Day a = low[0]; a <= high[0]; ++a) {
      for (Day b = std::max(low[1], a + gap); b <= high[1]; ++b) {
        if (b <= (most ? a + *most : *to_sunday.end_of(a))) return true;
      }
    }
    return false;
  }
};

/// The smallest change of one fact of a pair that gives it a plan.
std::optional<Day> least_change(const Pair& pair, const Fact& fact, const ToSunday& to_sunday,
                                Day limit) {
  for (Day by = 1; by <= limit; ++by) {
    Pair changed = pair;
    switch (fact.kind) {
      case Fact::Kind::not_before:
        changed.low[fact.id] -= by;
        break;
      case Fact::Kind::not_after:
        changed.high[fact.id] += by;
        break;
      case Fact::Kind::link_low:
        changed.gap -= by;
        break;
      default:
        changed.most = by;
        break;
    }
    if (changed.has_plan(to_sunday)) return by;
  }
  return std::nullopt;
}

}  // namespace

TEST_CASE("with limits repairs agree with trying every change on every pair of days") {
  const ToSunday to_sunday;
  std::mt19937 random(20270315);
  const auto draw = [&](int low, int high) {
    return std::uniform_int_distribution<int>(low, high)(random);
  };
  constexpr Day most_days = 40;
  int of_limits = 0;
  for (int round = 0; round < 1000; ++round) {
    CAPTURE(round);
    Pair pair{{100 + draw(0, 20), 100 + draw(0, 20)}, {}, draw(-3, 8), {}};
    Network network;
    for (const int i : {0, 1}) {
      pair.high[i] = pair.low[i] + draw(0, 6);
      const PointId point = network.add_point();
      network.set_not_before(point, pair.low[i]);
      network.set_not_after(point, pair.high[i]);
    }
    network.add_link(0, 1, pair.gap, std::nullopt);
    network.add_limit(0, 1, &to_sunday);
    if (pair.has_plan(to_sunday)) continue;
    const Conflict conflict = shortest_conflict(network);
    const std::vector<Repair> found = repairs(network, conflict, most_days);
    auto repair = found.begin();
    for (const Fact& fact : conflict.facts) {
      const auto least = least_change(pair, fact, to_sunday, most_days);
      if (!least) continue;
      REQUIRE(repair != found.end());
      CHECK(repair->fact == fact);
      CHECK(repair->by == *least);
      of_limits += fact.kind == Fact::Kind::length ? 1 : 0;
      ++repair;
    }
    CHECK(repair == found.end());
  }
  CHECK(of_limits > 100);
}
