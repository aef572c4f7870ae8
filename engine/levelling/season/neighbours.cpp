#include "levelling/season/neighbours.hpp"

#include <algorithm>
#include <map>
#include <tuple>

namespace budwood::levelling {

namespace {

Day middle_of(const Problem& problem, const Use& use) {
  const Day first = problem.points[use.from.point].earliest + use.from.offset;
  const Day last = problem.points[use.to.point].latest + use.to.offset + use.slack;
  return first + (last - first) / 2;
}

}  // namespace

Neighbours::Neighbours(const Problem& problem, const Groups& groups)
    : problem_(problem), groups_(groups), stands_(problem.resources.size()) {
  for (GroupId g = 0; g < groups.count(); ++g) {
    if (groups.is_fixed(g)) continue;
    for (const std::uint32_t u : groups.uses(g)) {
      stands_[problem.uses[u].resource].push_back({middle_of(problem, problem.uses[u]), g});
    }
  }
  for (std::vector<Stand>& one : stands_) {
    const auto key = [](const Stand& s) { return std::tie(s.middle, s.group); };
    std::sort(one.begin(), one.end(),
              [&](const Stand& a, const Stand& b) { return key(a) < key(b); });
  }
}

std::vector<GroupId> Neighbours::choose(GroupId group, std::mt19937_64& random) const {
  std::vector<GroupId> chosen{group};
  const auto uses = groups_.uses(group);
  if (uses.empty()) return chosen;
  const Use& use = problem_.uses[uses[random() % uses.size()]];
  const std::vector<Stand>& near = stands_[use.resource];
  if (near.empty()) return chosen;
  const Day middle = middle_of(problem_, use);
  const auto place = std::lower_bound(near.begin(), near.end(), middle,
                                      [](const Stand& s, Day day) { return s.middle < day; });
  constexpr std::int64_t reach = 12;
  const std::size_t others = 1 + random() % 5;
  for (std::size_t i = 0; i < others; ++i) {
    const auto step = static_cast<std::int64_t>(random() % (2 * reach + 1)) - reach;
    const std::int64_t at = (place - near.begin()) + step;
    if (at < 0 || at >= static_cast<std::int64_t>(near.size())) continue;
    const GroupId other = near[static_cast<std::size_t>(at)].group;
    if (std::find(chosen.begin(), chosen.end(), other) == chosen.end()) chosen.push_back(other);
  }
  // Who chooses last gives way: mostly not the one that wants something.
  const bool anybody = random() % 4 == 0;
  std::shuffle(chosen.begin() + (anybody ? 0 : 1), chosen.end(), random);
  return chosen;
}

std::vector<GroupId> Neighbours::cluster(GroupId group, std::size_t points,
                                         const std::vector<bool>& used) const {
  std::map<GroupId, int> meetings;
  constexpr std::ptrdiff_t reach = 8;
  for (const std::uint32_t u : groups_.uses(group)) {
    const Use& use = problem_.uses[u];
    const std::vector<Stand>& near = stands_[use.resource];
    const auto place = std::lower_bound(near.begin(), near.end(), middle_of(problem_, use),
                                        [](const Stand& s, Day day) { return s.middle < day; });
    const auto first = place - std::min(reach, place - near.begin());
    const auto end = place + std::min(reach, near.end() - place);
    for (auto at = first; at != end; ++at) ++meetings[at->group];
  }
  std::vector<std::pair<int, GroupId>> others;
  for (const auto& [other, times] : meetings) {
    if (other != group && !used[other]) others.push_back({-times, other});
  }
  std::sort(others.begin(), others.end());
  std::vector<GroupId> chosen{group};
  std::size_t count = groups_.points(group).size();
  for (const auto& [times, other] : others) {
    count += groups_.points(other).size();
    if (count > points) break;
    chosen.push_back(other);
  }
  return chosen;
}

}  // namespace budwood::levelling
