#include "levelling/search/links.hpp"

#include <algorithm>
#include <map>

namespace budwood::levelling {

namespace {

void touch(std::vector<std::vector<std::uint32_t>>& lists, PointId a, PointId b,
           std::uint32_t what) {
  lists[a].push_back(what);
  if (b != a) lists[b].push_back(what);
}

/// The days of a use in a schedule: begin <= d < end.
std::pair<Day, Day> days_of(const Use& use, const Schedule& schedule, Day slip) {
  return {schedule.days[use.from.point] + use.from.offset + slip,
          schedule.days[use.to.point] + use.to.offset + slip};
}

}  // namespace

Links::Links(const Problem& problem)
    : lags_(problem.points.size()), lengths_(problem.points.size()), uses_(problem.points.size()) {
  for (std::uint32_t i = 0; i < problem.lags.size(); ++i) {
    touch(lags_, problem.lags[i].from, problem.lags[i].to, i);
  }
  for (std::uint32_t i = 0; i < problem.lengths.size(); ++i) {
    touch(lengths_, problem.lengths[i].from, problem.lengths[i].to, i);
  }
  for (std::uint32_t i = 0; i < problem.uses.size(); ++i) {
    touch(uses_, problem.uses[i].from.point, problem.uses[i].to.point, i);
  }
  make_units(problem);
}

void Links::make_units(const Problem& problem) {
  std::map<GroupId, UnitId> numbers;
  for (const Point& point : problem.points) {
    numbers.emplace(point.group, static_cast<UnitId>(numbers.size()));
  }
  has_groups_ = numbers.size() > 1;
  units_.resize(has_groups_ ? numbers.size() : problem.points.size());
  for (PointId p = 0; p < problem.points.size(); ++p) {
    unit_of_.push_back(has_groups_ ? numbers[problem.points[p].group] : p);
    units_[unit_of_.back()].push_back(p);
  }
}

Takings::Takings(const Problem& problem, const Schedule& schedule)
    : rows_(problem.resources.size()) {
  std::vector<std::pair<Day, Day>> spans(rows_.size(), {INT32_MAX, INT32_MIN});
  for (const Use& use : problem.uses) {
    const Day first = problem.points[use.from.point].earliest + use.from.offset;
    const Day end = problem.points[use.to.point].latest + use.to.offset + use.slack;
    auto& span = spans[use.resource];
    span = {std::min(span.first, first), std::max(span.second, end)};
  }
  for (ResourceId r = 0; r < rows_.size(); ++r) {
    if (spans[r].first >= spans[r].second) continue;
    rows_[r].first = spans[r].first;
    rows_[r].amounts.resize(static_cast<std::size_t>(spans[r].second - spans[r].first));
  }
  for (std::uint32_t u = 0; u < problem.uses.size(); ++u) count(problem, schedule, u, 1);
}

void Takings::count(const Problem& problem, const Schedule& schedule, std::uint32_t u,
                    Amount times) {
  if (schedule.slips[u] == left_out) return;
  const Use& use = problem.uses[u];
  Row& row = rows_[use.resource];
  const auto [begin, end] = days_of(use, schedule, schedule.slips[u]);
  for (Day day = begin; day < end; ++day) {
    row.amounts[static_cast<std::size_t>(day - row.first)] += times * use.amount;
  }
}

Amount Takings::at(ResourceId resource, Day day) const {
  const Row& row = rows_[resource];
  const std::int64_t at = static_cast<std::int64_t>(day) - row.first;
  return at >= 0 && at < static_cast<std::int64_t>(row.amounts.size())
             ? row.amounts[static_cast<std::size_t>(at)]
             : 0;
}

}  // namespace budwood::levelling
