#include <doctest/doctest.h>

#include <vector>

#include "table_length.hpp"

using namespace budwood::network;

namespace {

/// Starts 100 to 109; it takes 9 days at first and goes faster and faster.
const TableLength quickening(100, {109, 109, 110, 110, 111, 111, 111, 112, 112, 112});

}  // namespace

TEST_CASE("a length that depends on its start, from both sides") {
  Network network;
  const PointId start = network.add_point();
  const PointId end = network.add_point();
  network.add_length(start, end, &quickening);
  Solver solver;
  std::vector<Day> days;
  SUBCASE("the latest start for an end") {
    network.set_not_after(end, 111);
    REQUIRE(solver.latest(network, days));
    CHECK(days == std::vector<Day>{106, 111});
  }
  SUBCASE("the earliest start for an end") {
    network.set_not_before(end, 111);
    REQUIRE(solver.earliest(network, days));
    CHECK(days == std::vector<Day>{104, 111});
  }
  SUBCASE("the end for a start") {
    network.set_not_after(start, 103);
    REQUIRE(solver.latest(network, days));
    CHECK(days == std::vector<Day>{103, 110});
    network.set_not_before(start, 101);
    REQUIRE(solver.earliest(network, days));
    CHECK(days == std::vector<Day>{101, 109});
  }
  SUBCASE("an end on which nothing ends gives way to the one before or after it") {
    network.set_not_before(end, 105);
    network.set_not_after(end, 140);
    REQUIRE(solver.latest(network, days));
    CHECK(days == std::vector<Day>{109, 112});
    REQUIRE(solver.earliest(network, days));
    CHECK(days == std::vector<Day>{100, 109});
  }
  SUBCASE("the ends of the series bound what is known") {
    REQUIRE(solver.latest(network, days));
    CHECK(days == std::vector<Day>{109, 112});
    REQUIRE(solver.earliest(network, days));
    CHECK(days == std::vector<Day>{100, 109});
    network.set_not_before(start, 50);
    network.set_not_after(start, 500);
    REQUIRE(solver.latest(network, days));
    CHECK(days == std::vector<Day>{109, 112});
    REQUIRE(solver.earliest(network, days));
    CHECK(days == std::vector<Day>{100, 109});
  }
}

TEST_CASE("outside its series a length is the reason why there is no plan") {
  Network network;
  const PointId start = network.add_point();
  const PointId end = network.add_point();
  network.add_length(start, end, &quickening);
  Solver solver;
  std::vector<Day> days;
  const auto fails_on = [&](std::vector<Fact> latest, std::vector<Fact> earliest) {
    CHECK_FALSE(solver.latest(network, days));
    CHECK(solver.conflict().facts == latest);
    CHECK_FALSE(solver.earliest(network, days));
    CHECK(solver.conflict().facts == earliest);
  };
  using enum Fact::Kind;
  SUBCASE("a start before it") {
    network.set_not_after(start, 97);
    fails_on({{not_after, start, 0}, {length, 0, 0}}, {{length, 0, 0}, {not_after, start, 0}});
    CHECK(solver.conflict().misses == 3);
  }
  SUBCASE("a start after it") {
    network.set_not_before(start, 111);
    fails_on({{length, 0, 0}, {not_before, start, 0}}, {{not_before, start, 0}, {length, 0, 0}});
    CHECK(solver.conflict().misses == 2);
  }
  SUBCASE("an end too early") {
    network.set_not_after(end, 108);
    fails_on({{not_after, end, 0}, {length, 0, 0}}, {{length, 0, 0}, {not_after, end, 0}});
    CHECK(solver.conflict().misses == 1);
  }
  SUBCASE("an end too late") {
    network.set_not_before(end, 115);
    fails_on({{length, 0, 0}, {not_before, end, 0}}, {{not_before, end, 0}, {length, 0, 0}});
    CHECK(solver.conflict().misses == 3);
  }
}

TEST_CASE("a length that nothing knows, and two lengths that cannot agree") {
  Solver solver;
  std::vector<Day> days;
  SUBCASE("empty series") {
    const TableLength nothing(0, {});
    Network network;
    const PointId start = network.add_point();
    network.add_length(start, network.add_point(), &nothing);
    CHECK_FALSE(solver.latest(network, days));
    CHECK(solver.conflict().facts == std::vector<Fact>{{Fact::Kind::length, 0, 0}});
    CHECK_FALSE(solver.earliest(network, days));
    CHECK(solver.conflict().facts == std::vector<Fact>{{Fact::Kind::length, 0, 0}});
  }
  SUBCASE("a lap of a length and a link falls until the series ends") {
    Network network;
    const PointId start = network.add_point();
    const PointId end = network.add_point();
    network.add_length(start, end, &quickening);
    network.add_link(start, end, {}, 2);
    CHECK_FALSE(solver.latest(network, days));
    CHECK(solver.conflict().facts.size() == 2);
    CHECK(solver.conflict().misses == 1);  // the quickest takes 3 days
  }
}
