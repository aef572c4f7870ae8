#include "levelling/problem.hpp"

#include <map>

namespace budwood::levelling {

namespace {

std::string point_text(PointId point) {
  return "point " + std::to_string(point);
}

std::optional<std::string> broken_point(const Problem& problem, const Schedule& schedule) {
  for (PointId p = 0; p < problem.points.size(); ++p) {
    const Point& point = problem.points[p];
    const Day day = schedule.days[p];
    if (day < point.earliest || day > point.latest) return point_text(p) + " is out of its window";
    if (point.allowed != nullptr && !point.allowed->contains(day)) {
      return point_text(p) + " is on a day that is not allowed";
    }
  }
  return std::nullopt;
}

std::optional<std::string> broken_bond(const Problem& problem, const Schedule& schedule) {
  const auto between = [](PointId from, PointId to) {
    return point_text(from) + " to " + point_text(to);
  };
  for (const Lag& lag : problem.lags) {
    if (schedule.days[lag.to] < schedule.days[lag.from] + lag.days) {
      return "lag from " + between(lag.from, lag.to);
    }
  }
  for (const Length& length : problem.lengths) {
    const std::optional<Day> end = length.length->end_of(schedule.days[length.from]);
    const Day to = schedule.days[length.to];
    if (!end || to > *end || (!length.limit && to != *end)) {
      return "length from " + between(length.from, length.to);
    }
  }
  return std::nullopt;
}

std::optional<std::string> broken_slip(const Problem& problem, const Schedule& schedule) {
  for (std::size_t u = 0; u < problem.uses.size(); ++u) {
    const Use& use = problem.uses[u];
    const Day slip = schedule.slips[u];
    const Day first = schedule.days[use.from.point] + use.from.offset;
    if (use.optional && slip == left_out) {
      const std::optional<Day> day = use.starts == nullptr ? first : use.starts->next(first);
      if (!day || *day > first + use.slack) continue;
      return "use " + std::to_string(u) + " is left out although it could be done";
    }
    if (slip < 0 || slip > use.slack) return "use " + std::to_string(u) + " slips too far";
    const Day begin = first + slip;
    if (use.starts != nullptr && !use.starts->contains(begin)) {
      return "use " + std::to_string(u) + " begins on a day that is not allowed";
    }
  }
  return std::nullopt;
}

/// Whether a use lies where it is whatever is chosen.
bool is_given(const Problem& problem, const Use& use) {
  const Point& from = problem.points[use.from.point];
  const Point& to = problem.points[use.to.point];
  return use.slack == 0 && from.earliest == from.latest && to.earliest == to.latest;
}

/// Counts day by day what is taken, and whether it could be taken otherwise.
std::optional<std::string> broken_capacity(const Problem& problem, const Schedule& schedule) {
  struct Taken {
    Amount amount = 0;
    bool chosen = false;
  };
  std::map<std::pair<ResourceId, Day>, Taken> taken;
  for (std::size_t u = 0; u < problem.uses.size(); ++u) {
    const Use& use = problem.uses[u];
    const Day slip = schedule.slips[u];
    if (slip == left_out) continue;
    const Day end = schedule.days[use.to.point] + use.to.offset + slip;
    for (Day day = schedule.days[use.from.point] + use.from.offset + slip; day < end; ++day) {
      Taken& here = taken[{use.resource, day}];
      here.amount += use.amount;
      here.chosen = here.chosen || (use.amount > 0 && !is_given(problem, use));
    }
  }
  for (const auto& [place, here] : taken) {
    if (here.chosen && here.amount > problem.resources[place.first].capacity(place.second)) {
      return "resource " + std::to_string(place.first) + " on day " + std::to_string(place.second);
    }
  }
  return std::nullopt;
}

}  // namespace

std::vector<Cost> cost_of(const Problem& problem, const Schedule& schedule) {
  std::vector<Cost> costs;
  for (const std::vector<Term>& terms : problem.objectives) {
    Cost cost = 0;
    for (const Term& term : terms) cost += term.at(schedule.days[term.point]);
    costs.push_back(cost);
  }
  if (costs.empty()) return costs;
  for (std::size_t u = 0; u < problem.uses.size(); ++u) {
    costs.back() += problem.uses[u].cost(schedule.slips[u]);
  }
  return costs;
}

std::optional<std::string> broken(const Problem& problem, const Schedule& schedule) {
  if (auto found = broken_point(problem, schedule)) return found;
  if (auto found = broken_bond(problem, schedule)) return found;
  if (auto found = broken_slip(problem, schedule)) return found;
  return broken_capacity(problem, schedule);
}

}  // namespace budwood::levelling
