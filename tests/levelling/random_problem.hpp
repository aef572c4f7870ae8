/// Small scheduling problems with everything that a problem can have, and all their schedules.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <random>
#include <vector>

#include "../network/table_length.hpp"
#include "levelling/levelling.hpp"

namespace budwood::levelling {

/// Keeps what the problem borrows.
struct RandomProblem {
  Problem problem;
  std::vector<std::unique_ptr<calendar::DaySet>> sets;
  std::vector<std::unique_ptr<network::TableLength>> lengths;
};

class ProblemMaker {
 public:
  explicit ProblemMaker(unsigned seed) : random_(seed) {}

  /// `points` points within `days` days after day 10.
  RandomProblem make(unsigned points, Day days) {
    RandomProblem made;
    Problem& problem = made.problem;
    for (unsigned p = 0; p < points; ++p) problem.points.push_back(point(made, days));
    for (int i = number(0, static_cast<int>(points)); i > 0; --i) {
      problem.lags.push_back({any_point(problem), any_point(problem), number(-3, 2)});
    }
    if (number(0, 2) == 0) add_length(made, days);
    for (int r = number(1, 2); r > 0; --r) problem.resources.push_back(resource());
    for (int u = number(1, 5); u > 0; --u) problem.uses.push_back(use(made));
    for (int o = number(0, 2); o > 0; --o) problem.objectives.push_back(objective(problem));
    return made;
  }

 private:
  int number(int low, int high) { return std::uniform_int_distribution(low, high)(random_); }
  PointId any_point(const Problem& problem) {
    return static_cast<PointId>(number(0, static_cast<int>(problem.points.size()) - 1));
  }
  const calendar::DaySet* some_days(RandomProblem& made) {
    auto set = std::make_unique<calendar::DaySet>();
    const int most = number(1, 2);
    for (Day day = 0; day < 40; ++day) {
      if (number(0, 2) < most) set->insert(day);
    }
    made.sets.push_back(std::move(set));
    return made.sets.back().get();
  }
  Point point(RandomProblem& made, Day days) {
    Point point;
    point.earliest = 10 + number(0, 2);
    point.latest = number(0, 5) == 0 ? point.earliest : 10 + days - number(0, 2);
    if (number(0, 2) == 0) point.allowed = some_days(made);
    return point;
  }
  void add_length(RandomProblem& made, Day days) {
    std::vector<Day> ends;
    const Day first = 10 + number(-1, 2);
    for (Day end = first + number(0, 2), day = 0; day < days; ++day) {
      ends.push_back(end += number(0, 2));
    }
    made.lengths.push_back(std::make_unique<network::TableLength>(first, ends));
    const PointId from = any_point(made.problem);
    const auto others = static_cast<int>(made.problem.points.size()) - 1;
    const auto to = static_cast<PointId>(number(0, others - 1));
    made.problem.lengths.push_back(
        {from, to + (to >= from ? 1 : 0), made.lengths.back().get(), number(0, 1) == 0});
  }
  Resource resource() {
    Resource resource{number(1, 4), 0, {}};
    if (number(0, 1) == 0) {
      resource.first = 10 + number(-2, 3);
      for (int day = number(1, 6); day > 0; --day) resource.by_day.push_back(number(0, 4));
    }
    return resource;
  }
  Use use(RandomProblem& made) {
    const Problem& problem = made.problem;
    Use use;
    use.resource =
        static_cast<ResourceId>(number(0, static_cast<int>(problem.resources.size()) - 1));
    use.amount = number(0, 3);
    use.from = {any_point(problem), number(-1, 1)};
    use.to = {use.from.point, use.from.offset + number(0, 3)};
    const int kind = number(0, 3);
    if (kind == 0) {
      use.slack = number(0, 2);
      if (number(0, 1) == 0) use.starts = some_days(made);
      use.optional = number(0, 1) == 0;
      use.wanted = number(0, use.slack);
      use.apart = number(0, 2);
    } else if (kind == 1) {
      use.to = {any_point(problem), number(-1, 2)};
    }
    return use;
  }
  std::vector<Term> objective(const Problem& problem) {
    std::vector<Term> terms;
    for (int t = number(1, 3); t > 0; --t) {
      terms.push_back({any_point(problem), 10 + number(-1, 6), number(0, 3), number(0, 3)});
    }
    return terms;
  }

  std::mt19937 random_;
};

/// Tells of every schedule that breaks nothing.
inline void all_schedules(const Problem& problem,
                          const std::function<void(const Schedule&)>& tell) {
  Schedule schedule;
  schedule.days.resize(problem.points.size());
  schedule.slips.resize(problem.uses.size());
  const std::function<void(std::size_t)> slip = [&](std::size_t u) {
    if (u == problem.uses.size()) {
      if (!broken(problem, schedule)) tell(schedule);
      return;
    }
    for (Day days = problem.uses[u].optional ? left_out : 0; days <= problem.uses[u].slack;
         ++days) {
      schedule.slips[u] = days;
      slip(u + 1);
    }
  };
  const std::function<void(std::size_t)> place = [&](std::size_t p) {
    if (p == problem.points.size()) return slip(0);
    for (Day day = problem.points[p].earliest; day <= problem.points[p].latest; ++day) {
      schedule.days[p] = day;
      place(p + 1);
    }
  };
  place(0);
}

/// The cheapest costs of all schedules; nothing when there is no schedule.
inline std::optional<std::vector<Cost>> cheapest(const Problem& problem) {
  std::optional<std::vector<Cost>> best;
  all_schedules(problem, [&](const Schedule& schedule) {
    const std::vector<Cost> costs = cost_of(problem, schedule);
    if (!best || costs < *best) best = costs;
  });
  return best;
}

}  // namespace budwood::levelling
