#include <doctest/doctest.h>

#include <random>

#include "levelling/levelling.hpp"
#include "levelling/pieces/part.hpp"
#include "random_problem.hpp"

using namespace budwood::levelling;

namespace {

/// Batches of three stages that follow each other; the middle one takes room from its start to the
/// start of the next, work takes hours on one day and may slip, and each batch is wanted on a day.
struct Batches {
  Problem problem;
  Schedule start;
  budwood::calendar::DaySet weekdays;

  Batches(std::uint32_t batches, Day days, unsigned seed) {
    std::mt19937 random(seed);
    const auto number = [&](int low, int high) {
      return std::uniform_int_distribution(low, high)(random);
    };
    for (Day day = 0; day < 4 * days; ++day) {
      if (day % 7 < 5) weekdays.insert(day);
    }
    const auto rooms = static_cast<Amount>(batches / 9 + 2);
    problem.resources = {{rooms, 0, {}}, {2 + rooms / 9, 0, {}}};
    problem.objectives.resize(2);
    // Far behind each other at first, so that the start breaks nothing.
    for (std::uint32_t batch = 0; batch < batches; ++batch) {
      const auto first = static_cast<PointId>(problem.points.size());
      const Day begin = static_cast<Day>(batch) * 3 * days / static_cast<Day>(batches);
      for (int stage = 0; stage < 3; ++stage) {
        problem.points.push_back({0, 4 * days, nullptr, batch});
        start.days.push_back(begin + 7 * stage);
      }
      for (PointId point = first; point < first + 2; ++point) {
        problem.lags.push_back({point, point + 1, 7});
        problem.lags.push_back({point + 1, point, -number(8, 14)});
      }
      problem.uses.push_back({0, number(1, 2), {first + 1, 0}, {first + 2, 0}, 0, nullptr});
      problem.uses.push_back({1, 1, {first, 0}, {first, 1}, 4, &weekdays});
      start.slips.push_back(0);
      start.slips.push_back(*weekdays.next(begin) - begin);
      problem.objectives[0].push_back({first + 2, days + number(0, days), 3, 1});
      problem.objectives[1].push_back({first, 0, 0, 0});
      problem.objectives[1].back().late = number(0, 1);
    }
  }
};

}  // namespace

TEST_CASE("improve: costs never rise and nothing is broken") {
  const Batches season(40, 60, 5);
  REQUIRE(broken(season.problem, season.start).value_or("") == "");
  ImproveOptions options;
  options.rounds = 60;
  int told = 0;
  std::vector<Cost> last = cost_of(season.problem, season.start);
  options.improved = [&](const Schedule& schedule) {
    ++told;
    CHECK(broken(season.problem, schedule).value_or("") == "");
    const std::vector<Cost> costs = cost_of(season.problem, schedule);
    CHECK(costs < last);
    last = costs;
  };
  const Improvement improvement = improve(season.problem, season.start, options);
  CHECK(told > 2);
  CHECK(cost_of(season.problem, improvement.schedule) == last);
  CHECK(last[0] * 2 < cost_of(season.problem, season.start)[0]);
}

TEST_CASE("improve: the same seed and rounds give the same schedule") {
  const Batches season(20, 40, 9);
  ImproveOptions options;
  options.rounds = 20;
  const Improvement one = improve(season.problem, season.start, options);
  const Improvement two = improve(season.problem, season.start, options);
  CHECK(one.schedule.days == two.schedule.days);
  CHECK(one.schedule.slips == two.schedule.slips);
}

TEST_CASE("improve: a piece that is everything ends with the best of all schedules") {
  ProblemMaker maker(13);
  int compared = 0;
  for (int round = 0; round < 400; ++round) {
    CAPTURE(round);
    RandomProblem made = maker.make(3, 7);
    for (PointId p = 0; p < 3; ++p) made.problem.points[p].group = p;
    std::optional<Schedule> some;
    all_schedules(made.problem, [&](const Schedule& schedule) {
      if (!some) some = schedule;
    });
    if (!some) continue;
    ++compared;
    ImproveOptions options;
    options.rounds = 5;
    const Improvement improvement = improve(made.problem, *some, options);
    REQUIRE(broken(made.problem, improvement.schedule).value_or("") == "");
    REQUIRE(improvement.optimal);
    REQUIRE(cost_of(made.problem, improvement.schedule) == cheapest(made.problem));
  }
  CHECK(compared > 100);
}

TEST_CASE("improve: pieces of random problems keep everything else as it was") {
  ProblemMaker maker(17);
  int compared = 0;
  for (int round = 0; round < 400; ++round) {
    CAPTURE(round);
    RandomProblem made = maker.make(4, 6);
    for (PointId p = 0; p < 4; ++p) made.problem.points[p].group = p;
    std::optional<Schedule> some;
    all_schedules(made.problem, [&](const Schedule& schedule) {
      if (!some) some = schedule;
    });
    if (!some) continue;
    ++compared;
    ImproveOptions options;
    options.rounds = 8;
    options.points = 1;  // goes up to the fewest that are ever freed
    options.improved = [&](const Schedule& schedule) {
      REQUIRE(broken(made.problem, schedule).value_or("") == "");
    };
    const Improvement improvement = improve(made.problem, *some, options);
    REQUIRE(broken(made.problem, improvement.schedule).value_or("") == "");
    REQUIRE(cost_of(made.problem, improvement.schedule) <= cost_of(made.problem, *some));
  }
  CHECK(compared > 100);
}

TEST_CASE("search: a season too large for pairs is placed group by group") {
  const Batches season(300, 90, 3);
  SearchOptions options;
  bool found = false;
  options.improved = [&](const Schedule&) { found = true; };
  options.stop = [&] { return found; };
  options.conflicts = 2000;
  const SearchResult result = search(season.problem, options);
  REQUIRE(result.status == Status::feasible);
  CHECK(broken(season.problem, result.schedule).value_or("") == "");
}

TEST_CASE("solve: a season without a start gets a schedule and a bound below its cost") {
  const Batches season(60, 90, 3);
  SolveOptions options;
  options.seconds = 2;
  const Solution solution = solve(season.problem, options);
  REQUIRE((solution.status == Status::feasible || solution.status == Status::optimal));
  CHECK(broken(season.problem, solution.schedule).value_or("") == "");
  CHECK(solution.bounds[0] <= solution.costs[0]);
  CHECK(solution.costs == cost_of(season.problem, solution.schedule));
}

TEST_CASE("solve: what was stopped with its first schedule is not said to be the best") {
  const Batches season(60, 90, 3);
  SolveOptions options;
  bool found = false;
  options.improved = [&](const Schedule&) { found = true; };
  options.stop = [&] { return found; };
  const Solution solution = solve(season.problem, options);
  CHECK(solution.status == Status::feasible);
  CHECK(solution.bounds < solution.costs);
}

TEST_CASE("a part of a problem has what is left on all days that its work may slip to") {
  Problem whole;
  whole.points = {{0, 1, nullptr, 0}, {3, 3, nullptr, 1}};
  whole.resources = {{3, 0, {}}};
  Use slipping{0, 1, {0, 0}, {0, 1}};
  slipping.slack = 2;
  whole.uses = {slipping, {0, 2, {1, 0}, {1, 1}}};
  const Schedule schedule{{0, 3}, {0, 0}};
  const Links links(whole);
  const Takings takings(whole, schedule);
  const Part part(whole, links, takings, schedule, {0});
  REQUIRE(part.problem().resources.size() == 1);
  const Resource& left = part.problem().resources[0];
  for (Day day = 0; day <= 2; ++day) CHECK(left.capacity(day) == 3);
  CHECK(left.capacity(3) == 1);
}
