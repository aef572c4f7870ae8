#include <doctest/doctest.h>

#include <vector>

#include "network/network.hpp"
#include "random_network.hpp"

using namespace budwood::network;

namespace {

/// The latest and the earliest day of each date over all solutions, by trying every day of the box.
struct AllSolutions {
  explicit AllSolutions(const Network& network) {
    std::vector<Day> days(network.point_count(), RandomNetwork::base);
    for (;;) {
      if (meets_all(network, days)) take(days);
      std::size_t i = 0;
      while (i < days.size() && days[i] == RandomNetwork::base + RandomNetwork::width) {
        days[i++] = RandomNetwork::base;
      }
      if (i == days.size()) break;
      ++days[i];
    }
  }

  void take(const std::vector<Day>& days) {
    if (latest.empty()) latest = earliest = days;
    for (std::size_t i = 0; i < days.size(); ++i) {
      latest[i] = std::max(latest[i], days[i]);
      earliest[i] = std::min(earliest[i], days[i]);
    }
  }

  std::vector<Day> latest, earliest;
};

}  // namespace

TEST_CASE("the plans meet every constraint and no date can be later or earlier") {
  Solver solver;
  std::vector<Day> days;
  int feasible = 0, infeasible = 0;
  for (std::uint32_t seed = 0; seed < 1500; ++seed) {
    CAPTURE(seed);
    const RandomNetwork random(seed, true);
    const AllSolutions all(random.network);
    const bool exists = !all.latest.empty();
    ++(exists ? feasible : infeasible);
    REQUIRE(solver.latest(random.network, days) == exists);
    REQUIRE_FALSE(solver.conflict().unbounded);
    REQUIRE(solver.conflict().facts.empty() == exists);
    if (exists) REQUIRE(days == all.latest);
    REQUIRE(solver.earliest(random.network, days) == exists);
    REQUIRE(solver.conflict().facts.empty() == exists);
    if (exists) REQUIRE(days == all.earliest);
  }
  // Both kinds must have been met, or the check means nothing.
  CHECK(feasible > 300);
  CHECK(infeasible > 300);
}

TEST_CASE("without a box: a plan meets every constraint and both sides agree on contradictions") {
  Solver solver;
  std::vector<Day> days;
  int plans = 0, contradictions = 0, unbounded = 0;
  for (std::uint32_t seed = 0; seed < 5000; ++seed) {
    CAPTURE(seed);
    const RandomNetwork random(seed, false);
    const bool latest = solver.latest(random.network, days);
    if (latest) REQUIRE(meets_all(random.network, days));
    const bool contradiction = !latest && !solver.conflict().unbounded;
    REQUIRE(contradiction == !solver.conflict().facts.empty());
    ++(latest ? plans : contradiction ? contradictions : unbounded);
    const bool earliest = solver.earliest(random.network, days);
    if (earliest) REQUIRE(meets_all(random.network, days));
    REQUIRE(contradiction == !solver.conflict().facts.empty());
  }
  CHECK(plans > 500);
  CHECK(contradictions > 500);
  CHECK(unbounded > 500);
}
