#include <doctest/doctest.h>

#include "levelling/levelling.hpp"
#include "random_problem.hpp"

using namespace budwood::levelling;

TEST_CASE("search: finds the cheapest of all schedules, or that there is none") {
  ProblemMaker maker(20270402);
  int feasible = 0, infeasible = 0, out = 0, apart = 0;
  for (int round = 0; round < 20000; ++round) {
    CAPTURE(round);
    const RandomProblem made = maker.make(2 + round % 3, 7);
    const auto best = cheapest(made.problem);
    SearchOptions options;
    options.seed = static_cast<std::uint64_t>(round);
    const SearchResult result = search(made.problem, options);
    if (!best) {
      ++infeasible;
      REQUIRE(result.status == Status::infeasible);
      continue;
    }
    ++feasible;
    REQUIRE(result.status == Status::optimal);
    REQUIRE(broken(made.problem, result.schedule).value_or("") == "");
    REQUIRE(result.costs == *best);
    REQUIRE(result.bounds == *best);
    REQUIRE(result.costs == cost_of(made.problem, result.schedule));
    for (std::size_t u = 0; u < made.problem.uses.size(); ++u) {
      out += result.schedule.slips[u] == left_out ? 1 : 0;
      apart += made.problem.uses[u].cost(result.schedule.slips[u]) > 0 ? 1 : 0;
    }
  }
  CHECK(out > 200);
  CHECK(apart > 200);
  CHECK(feasible > 500);
  CHECK(infeasible > 500);
}

TEST_CASE("search: starts from a schedule and never ends with a worse one") {
  ProblemMaker maker(7);
  int started = 0;
  for (int round = 0; round < 500; ++round) {
    CAPTURE(round);
    const RandomProblem made = maker.make(3, 7);
    std::optional<Schedule> worst;
    all_schedules(made.problem, [&](const Schedule& schedule) {
      if (!worst || cost_of(made.problem, schedule) > cost_of(made.problem, *worst)) {
        worst = schedule;
      }
    });
    if (!worst) continue;
    ++started;
    SearchOptions options;
    options.start = worst;
    options.conflicts = 1;
    const SearchResult cut = search(made.problem, options);
    REQUIRE((cut.status == Status::feasible || cut.status == Status::optimal));
    REQUIRE(cut.costs <= cost_of(made.problem, *worst));
    const auto best = cheapest(made.problem);
    if (!best->empty()) REQUIRE(cut.bounds[0] <= (*best)[0]);
    options.conflicts = 1'000'000;
    REQUIRE(search(made.problem, options).costs == *best);
  }
  CHECK(started > 100);
}

TEST_CASE("search: the same seed and budget give the same schedule") {
  ProblemMaker maker(11);
  for (int round = 0; round < 100; ++round) {
    const RandomProblem made = maker.make(6, 12);
    SearchOptions options;
    options.conflicts = 20;
    const SearchResult one = search(made.problem, options);
    const SearchResult two = search(made.problem, options);
    CHECK(one.schedule.days == two.schedule.days);
    CHECK(one.schedule.slips == two.schedule.slips);
    CHECK(one.bounds == two.bounds);
    CHECK(one.conflicts == two.conflicts);
  }
}

TEST_CASE("search: what is given and too much is no failure, and leaves nothing") {
  Problem problem;
  problem.points = {{5, 5}, {4, 9}};
  problem.resources = {{2, 0, {}}};
  problem.uses = {{0, 3, {0, 0}, {0, 2}}, {0, 1, {1, 0}, {1, 1}}};
  problem.objectives = {{{1, 5, 1, 2}}};
  const SearchResult result = search(problem, {});
  REQUIRE(result.status == Status::optimal);
  CHECK(result.schedule.days == std::vector<Day>{5, 7});
  CHECK_FALSE(broken(problem, result.schedule).has_value());
}

TEST_CASE("search: weights too large for a total in units still end with the best") {
  Problem problem;
  problem.points = {{0, 20}, {0, 20}};
  problem.resources = {{1, 0, {}}};
  problem.uses = {{0, 1, {0, 0}, {0, 4}}, {0, 1, {1, 0}, {1, 4}}};
  const Cost much = 1'000'000'000'007;
  problem.objectives = {{{0, 3, much, much}, {1, 3, 1, 1}}};
  const SearchResult result = search(problem, {});
  CHECK(result.schedule.days[0] == 3);
  CHECK(result.bounds[0] <= result.costs[0]);
}

TEST_CASE("broken: work that could be done on the last of its days may not be left out") {
  budwood::calendar::DaySet working;
  working.insert(4);
  Problem problem;
  problem.points = {{2, 2}};
  problem.resources = {{1, 0, {}}};
  Use work{0, 1, {0, 0}, {0, 1}};
  work.starts = &working;
  work.optional = true;
  work.slack = 2;
  problem.uses = {work};
  const Schedule without{{2}, {left_out}};
  CHECK(broken(problem, without) == "use 0 is left out although it could be done");
  problem.uses[0].slack = 1;
  CHECK_FALSE(broken(problem, without).has_value());
}
