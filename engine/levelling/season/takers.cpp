#include "levelling/season/takers.hpp"

#include <algorithm>
#include <tuple>

namespace budwood::levelling {

namespace {

/// Groups that have moved farther are not looked for, nor are uses that are longer.
constexpr Day farthest = 28;
constexpr std::size_t most_groups = 12;

}  // namespace

Takers::Takers(const Problem& problem, const Groups& groups, const std::vector<Day>& wanted)
    : problem_(problem), takes_(problem.resources.size()) {
  for (GroupId g = 0; g < groups.count(); ++g) {
    if (groups.is_fixed(g)) continue;
    for (const std::uint32_t u : groups.uses(g)) {
      const Use& use = problem.uses[u];
      takes_[use.resource].push_back({wanted[use.from.point] + use.from.offset, u});
    }
  }
  for (std::vector<Take>& takes : takes_) {
    std::sort(takes.begin(), takes.end(), [](const Take& a, const Take& b) {
      return std::tie(a.wanted, a.use) < std::tie(b.wanted, b.use);
    });
  }
}

Amount Takers::taken(const Take& take, Day day, const Schedule& schedule) const {
  const Use& use = problem_.uses[take.use];
  const Day slip = schedule.slips[take.use];
  if (slip == left_out) return 0;
  const bool there = schedule.days[use.from.point] + use.from.offset + slip <= day &&
                     day < schedule.days[use.to.point] + use.to.offset + slip;
  return there ? use.amount : 0;
}

bool Takers::choose(ResourceId resource, Day day, Amount amount, const Schedule& schedule,
                    const std::vector<bool>& may, std::mt19937_64& random,
                    std::vector<GroupId>& chosen) const {
  const std::vector<Take>& all = takes_[resource];
  const auto begin = std::lower_bound(all.begin(), all.end(), day - farthest,
                                      [](const Take& t, Day d) { return t.wanted < d; });
  const auto end = std::upper_bound(begin, all.end(), day + farthest,
                                    [](Day d, const Take& t) { return d < t.wanted; });
  const auto count = static_cast<std::size_t>(end - begin);
  if (count == 0) return false;
  const std::size_t start = random() % count;
  for (std::size_t i = 0; i < count && amount > 0 && chosen.size() < most_groups; ++i) {
    const Take& take = *(begin + static_cast<std::ptrdiff_t>((start + i) % count));
    const GroupId group = problem_.points[problem_.uses[take.use].from.point].group;
    if (!may[group]) continue;
    const Amount back = taken(take, day, schedule);
    if (back <= 0) continue;
    amount -= back;
    if (std::find(chosen.begin(), chosen.end(), group) == chosen.end()) chosen.push_back(group);
  }
  return amount <= 0;
}

}  // namespace budwood::levelling
