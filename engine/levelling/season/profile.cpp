#include "levelling/season/profile.hpp"

#include <algorithm>

namespace budwood::levelling {

Profile::Profile(const Problem& problem) : problem_(problem) {
  Day first = calendar::last_day;
  Day last = calendar::first_day;
  for (const Use& use : problem.uses) {
    first = std::min(first, problem.points[use.from.point].earliest + use.from.offset);
    last = std::max({last, problem.points[use.from.point].latest + use.from.offset + use.slack,
                     problem.points[use.to.point].latest + use.to.offset + use.slack});
  }
  if (first > last) return;
  first_ = first;
  days_ = last - first + 1;
  free_.reserve(problem.resources.size() * static_cast<std::size_t>(days_));
  for (const Resource& resource : problem.resources) {
    for (Day day = first; day <= last; ++day) free_.push_back(resource.capacity(day));
  }
}

void Profile::take(ResourceId resource, Amount amount, Day first, Day end) {
  if (end <= first) return;
  Amount* free = &free_[at(resource, first)];
  if (problem_.resources[resource].even) {
    for (Day day = first; day < end; ++day) {
      const auto before =
          static_cast<double>(problem_.resources[resource].capacity(day) - free[day - first]);
      const auto more = static_cast<double>(amount);
      unevenness_ += more * (2 * before + more);
    }
  }
  for (Day i = 0; i < end - first; ++i) free[i] -= amount;
}

std::optional<Day> Profile::first_short(ResourceId resource, Amount amount, Day first,
                                        Day end) const {
  if (end <= first) return std::nullopt;
  const Amount* free = &free_[at(resource, first)];
  for (Day i = 0; i < end - first; ++i) {
    if (free[i] < amount) return first + i;
  }
  return std::nullopt;
}

Amount Profile::missing(ResourceId resource, Day first, Day end) const {
  Amount sum = 0;
  for (Day day = first; day < end; ++day) sum += std::max<Amount>(0, -free(resource, day));
  return sum;
}

}  // namespace budwood::levelling
