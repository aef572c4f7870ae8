#include "levelling/season/groups.hpp"

#include <algorithm>

namespace budwood::levelling {

namespace {
constexpr GroupId in_no_group = UINT32_MAX;
}

template <typename GroupOf>
Groups::Lists Groups::lists(std::size_t groups, std::size_t count, GroupOf group_of) {
  Lists out;
  out.first.assign(groups + 1, 0);
  for (std::uint32_t i = 0; i < count; ++i) {
    if (const GroupId group = group_of(i); group != in_no_group) ++out.first[group + 1];
  }
  for (std::size_t g = 0; g < groups; ++g) out.first[g + 1] += out.first[g];
  out.ids.resize(out.first.back());
  std::vector<std::uint32_t> next(out.first.begin(), out.first.end() - 1);
  for (std::uint32_t i = 0; i < count; ++i) {
    if (const GroupId group = group_of(i); group != in_no_group) out.ids[next[group]++] = i;
  }
  return out;
}

Groups::Groups(const Problem& problem) : problem_(problem) {
  std::size_t groups = 0;
  for (const Point& point : problem.points) {
    groups = std::max<std::size_t>(groups, point.group + 1);
  }
  const auto group_of = [&](PointId point) { return problem.points[point].group; };
  points_ = lists(groups, problem.points.size(), group_of);
  place_.resize(problem.points.size());
  for (GroupId g = 0; g < groups; ++g) {
    std::uint32_t place = 0;
    for (const PointId point : points(g)) place_[point] = place++;
  }
  const auto inside = [&](PointId from, PointId to) {
    return group_of(from) == group_of(to) ? group_of(from) : in_no_group;
  };
  lags_ = lists(groups, problem.lags.size(),
                [&](std::uint32_t i) { return inside(problem.lags[i].from, problem.lags[i].to); });
  lengths_ = lists(groups, problem.lengths.size(), [&](std::uint32_t i) {
    return inside(problem.lengths[i].from, problem.lengths[i].to);
  });
  // A tie counts twice, once for each of its two groups.
  ties_ = lists(groups, 2 * problem.lags.size(), [&](std::uint32_t i) {
    const Lag& lag = problem.lags[i / 2];
    if (group_of(lag.from) == group_of(lag.to)) return in_no_group;
    return group_of(i % 2 == 0 ? lag.from : lag.to);
  });
  for (std::uint32_t& tie : ties_.ids) tie /= 2;
  uses_ = lists(groups, problem.uses.size(),
                [&](std::uint32_t i) { return group_of(problem.uses[i].from.point); });
  for (std::uint32_t level = 0; level < problem.objectives.size(); ++level) {
    for (const Term& term : problem.objectives[level]) terms_.push_back({level, term});
  }
  terms_by_group_ =
      lists(groups, terms_.size(), [&](std::uint32_t i) { return group_of(terms_[i].term.point); });
}

bool Groups::is_fixed(GroupId group) const {
  const auto point_fixed = [&](PointId p) {
    return problem_.points[p].earliest == problem_.points[p].latest;
  };
  const auto use_fixed = [&](std::uint32_t u) { return problem_.uses[u].slack == 0; };
  return std::all_of(points(group).begin(), points(group).end(), point_fixed) &&
         std::all_of(uses(group).begin(), uses(group).end(), use_fixed);
}

}  // namespace budwood::levelling
