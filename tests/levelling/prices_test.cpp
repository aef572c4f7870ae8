#include "levelling/season/prices.hpp"

#include <doctest/doctest.h>

#include "levelling/levelling.hpp"
#include "random_problem.hpp"

/// The bound of prices against all schedules of small problems.
namespace budwood::levelling {

namespace {

Cost bound_of(const Problem& problem, Cost reached) {
  const Groups groups(problem);
  const Profile free(problem);
  return Prices(problem, groups, free).raise(reached, 3000, [] { return 0; });
}

/// Batches that each want one of so many places on the same day, or later.
Problem queue(std::uint32_t batches, Amount places) {
  Problem p;
  p.resources = {{places, 0, {}, false}};
  p.objectives.resize(1);
  for (GroupId g = 0; g < batches; ++g) {
    p.points.push_back({10, 30, nullptr, g});
    p.uses.push_back({0, 1, {g, 0}, {g, 1}});
    p.objectives[0].push_back({g, 10, 1, 0});
  }
  return p;
}

}  // namespace

namespace {

/// Holds the bounds of small problems against the cheapest of all their schedules.
template <typename Make>
void check_bounds(int least_solvable, const Make& make) {
  int solvable = 0, above_nothing = 0;
  for (unsigned seed = 0; seed < 1500; ++seed) {
    const RandomProblem made = make(seed);
    const Problem& problem = made.problem;
    if (problem.objectives.empty()) continue;
    const auto least = cheapest(problem);
    if (!least) continue;
    ++solvable;
    const Cost bound = bound_of(problem, (*least)[0]);
    CHECK_MESSAGE(bound <= (*least)[0], "seed ", seed);
    above_nothing += bound > 0 ? 1 : 0;
  }
  MESSAGE(solvable << " solvable, " << above_nothing << " with a bound above 0");
  CHECK(solvable > least_solvable);
  CHECK(above_nothing > 30);
}

}  // namespace

TEST_CASE("no schedule costs less than the bound of prices") {
  check_bounds(200, [](unsigned seed) { return ProblemMaker(seed).make(2 + seed % 3, 6); });
}

TEST_CASE("nor where points are always as many days apart") {
  check_bounds(100, [](unsigned seed) {
    RandomProblem made = ProblemMaker(seed).make(3 + seed % 2, 6);
    Problem& problem = made.problem;
    const auto days = static_cast<Day>(seed % 4) - 1;
    const PointId last = static_cast<PointId>(problem.points.size()) - 1;
    const auto bind = [&](PointId from, PointId to, Day apart) {
      problem.lags.push_back({from, to, apart});
      problem.lags.push_back({to, from, -apart});
    };
    bind(0, last, days);
    if (seed % 3 == 0) bind(last, 1, 1 - days);
    return made;
  });
}

TEST_CASE("a group that has no days does not make the bound more than the others") {
  Problem p = queue(10, 1);
  const calendar::DaySet never;
  p.points.push_back({10, 30, nullptr, 10});
  p.uses.push_back({0, 1, {10, 0}, {10, 1}, 2, &never});
  p.objectives[0].push_back({10, 10, 1, 0});
  const Cost bound = bound_of(p, 45);
  CHECK(bound > 40);
  CHECK(bound <= 45);
}

TEST_CASE("of batches that queue for places, how late they are together is proven") {
  // One a day: 0 + 1 + ... + 9 days. Three a day: three times 0 + 1 + 2, and one that is 3 late.
  CHECK(bound_of(queue(10, 1), 45) == 45);
  CHECK(bound_of(queue(10, 3), 12) == 12);
  // Nobody waits where there are places for all.
  CHECK(bound_of(queue(10, 10), 5) == 0);
}

TEST_CASE("a season of many batches that queue is proven to be within 5 % of the best") {
  const Problem p = queue(40, 2);
  SeasonOptions options;
  for (const Point& point : p.points) options.wanted.push_back(point.earliest);
  options.rounds = 400;
  const Season found = level_season(p, options);
  CHECK(found.standing.unplaced == 0);
  CHECK(found.standing.costs[0] == 380);
  CHECK(found.bound[0] <= 380);
  CHECK(found.bound[0] >= 361);
  const Season again = level_season(p, options);
  CHECK(again.schedule.days == found.schedule.days);
}

TEST_CASE("days for a group are those that are best of all on which its work finds enough") {
  Problem p;
  p.resources = {{1, 10, {0, 0, 1, 1, 1}, false}};
  p.points = {{10, 14, nullptr, 0}, {12, 18, nullptr, 0}};
  p.lags = {{0, 1, 3}, {1, 0, -3}};
  p.uses = {{0, 1, {0, 0}, {0, 1}}};
  p.objectives = {{{1, 13, 1, 0}}};
  const Groups groups(p);
  const Profile free(p);
  Prices prices(p, groups, free);
  CHECK(prices.days_for(0, {&free, false, 100}) == std::vector<Day>{12, 15});
  // Two days late is more than may be.
  CHECK(prices.days_for(0, {&free, false, 1}).empty());
}

}  // namespace budwood::levelling
