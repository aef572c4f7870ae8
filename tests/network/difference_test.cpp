#include "differences.hpp"
#include "network/network.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "network/explain.hpp"
#include "random_network.hpp"

using namespace budwood::network;

namespace {

/// low <= to - from <= high.
void add(std::vector<Difference>& differences, std::size_t from, std::size_t to, std::int64_t low,
         std::int64_t high) {
  differences.push_back({from, to, high});
  differences.push_back({to, from, -low});
}

/// John leaves home (1) and arrives (2), Fred leaves (3) and arrives (4), in minutes after 7:00
/// (0).
std::vector<Difference> commute(std::int64_t shortest_drive, std::int64_t longest_drive) {
  std::vector<Difference> differences;
  add(differences, 0, 1, 10, 20);
  add(differences, 1, 2, shortest_drive, longest_drive);
  add(differences, 3, 2, 10, 20);
  add(differences, 3, 4, 40, 50);
  add(differences, 0, 4, 60, 70);
  return differences;
}

/// The tightest range of to - from.
std::pair<std::int64_t, std::int64_t> range(const MinimalNetwork& minimal, std::size_t from,
                                            std::size_t to) {
  return {-minimal.bound(to, from).value(), minimal.bound(from, to).value()};
}

using Range = std::pair<std::int64_t, std::int64_t>;

}  // namespace

// Dechter, Meiri & Pearl 1991, Temporal constraint networks, Artificial Intelligence 49:61-95,
// Example 1.1 (John by car, Fred by car pool).
TEST_CASE("the commuting example has the published minimal network") {
  const auto minimal = minimal_network(5, commute(30, 40));
  REQUIRE(minimal);
  CHECK(range(*minimal, 0, 1) == Range{10, 20});
  CHECK(range(*minimal, 0, 2) == Range{40, 50});
  CHECK(range(*minimal, 0, 3) == Range{20, 30});
  CHECK(range(*minimal, 0, 4) == Range{60, 70});
  CHECK(range(*minimal, 1, 3) == Range{10, 20});
  CHECK(range(*minimal, 1, 4) == Range{50, 60});
  CHECK(range(*minimal, 2, 4) == Range{20, 30});
}

// The same story with John on the bus, 60 minutes or more; worked from the published rule.
TEST_CASE("the commuting example by bus is inconsistent") {
  CHECK_FALSE(minimal_network(5, commute(60, 1000)));
  CHECK_FALSE(solve_differences(5, commute(60, 1000)));
}

// Cormen, Leiserson, Rivest & Stein, Introduction to Algorithms, section 24.4, worked example.
TEST_CASE("a system of difference constraints has the published solution") {
  const std::vector<Difference> differences{{1, 0, 0}, {4, 0, -1}, {4, 1, 1},  {0, 2, 5},
                                            {0, 3, 4}, {2, 3, -1}, {2, 4, -3}, {3, 4, -3}};
  const auto solution = solve_differences(5, differences);
  REQUIRE(solution);
  CHECK(*solution == std::vector<std::int64_t>{-5, -3, 0, -1, -4});
}

TEST_CASE("no points, no differences, and a point against itself") {
  CHECK(solve_differences(0, {}));
  CHECK(minimal_network(0, {}));
  const auto apart = minimal_network(2, {});
  REQUIRE(apart);
  CHECK_FALSE(apart->bound(0, 1));
  CHECK(apart->bound(0, 0) == 0);
  CHECK(solve_differences(1, {{0, 0, 0}}));
  CHECK_FALSE(solve_differences(1, {{0, 0, -1}}));
  CHECK_FALSE(minimal_network(1, {{0, 0, -1}}));
}

TEST_CASE("ranges of dates with nature's ranges as links") {
  Network network;
  const PointId graft = network.add_point();
  const PointId healed = network.add_point();
  const PointId out = network.add_point();
  network.add_link(graft, healed, 7, 10);
  network.add_link(healed, out, 0, 2);
  network.set_not_before(graft, 1000);
  auto ranges = date_ranges(network);
  REQUIRE(ranges);
  CHECK((*ranges)[out] == DateRange{1007, std::nullopt});
  network.set_not_after(graft, 1001);
  ranges = date_ranges(network);
  REQUIRE(ranges);
  CHECK((*ranges)[healed] == DateRange{1007, 1011});
  CHECK((*ranges)[out] == DateRange{1007, 1013});
  network.set_not_after(out, 1006);
  CHECK_FALSE(date_ranges(network));
}

TEST_CASE("the solver agrees with Boost.Graph on networks of differences alone") {
  Solver solver;
  std::vector<Day> days;
  int consistent = 0, inconsistent = 0;
  for (std::uint32_t seed = 0; seed < 1500; ++seed) {
    CAPTURE(seed);
    Draw draw(seed);
    Network network;
    const int points = draw.between(2, 25);
    for (int i = 0; i < points; ++i) {
      const PointId point = network.add_point();
      if (draw.chance(20)) network.set_not_before(point, draw.between(-20, 10));
      if (draw.chance(20)) network.set_not_after(point, draw.between(30, 60));
    }
    for (int i = draw.between(points / 2, points * 2); i > 0; --i) {
      const int low = draw.between(-8, 8);
      const auto from = static_cast<PointId>(draw.between(0, points - 1));
      const auto to = static_cast<PointId>(draw.between(0, points - 1));
      if (from != to) network.add_link(from, to, low, low + draw.between(0, 25));
    }
    const auto ranges = date_ranges(network);
    const std::size_t origin = network.point_count();
    const auto minimal = minimal_network(origin + 1, differences_of(network));
    REQUIRE(minimal.has_value() == ranges.has_value());
    ++(ranges ? consistent : inconsistent);

    const bool latest = solver.latest(network, days);
    REQUIRE(solver.conflict().facts.empty() == ranges.has_value());
    if (!ranges) {
      // An irreducible conflict of differences is a negative cycle: on all of it, the sum misses.
      REQUIRE(solver.conflict().misses > 0);
      REQUIRE(shortest_conflict(network).facts.size() <= solver.conflict().facts.size());
      continue;
    }
    bool all_bounded = true;
    for (PointId id = 0; id < origin; ++id) {
      const DateRange& range = (*ranges)[id];
      all_bounded = all_bounded && range.latest;
      if (latest) REQUIRE(range.latest == days[id]);
      const auto bound = minimal->bound(origin, id);
      REQUIRE(bound.has_value() == range.latest.has_value());
      if (bound) REQUIRE(*bound == *range.latest);
    }
    REQUIRE(latest == all_bounded);
    if (!solver.earliest(network, days)) continue;
    for (PointId id = 0; id < origin; ++id) REQUIRE((*ranges)[id].earliest == days[id]);
  }
  CHECK(consistent > 300);
  CHECK(inconsistent > 300);
}
