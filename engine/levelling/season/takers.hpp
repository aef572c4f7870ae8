/// Private to this module.
#pragma once

#include <random>
#include <vector>

#include "levelling/season/groups.hpp"

namespace budwood::levelling {

/// Who takes of a resource on a day.
class Takers {
 public:
  /// `wanted` is by point.
  Takers(const Problem& problem, const Groups& groups, const std::vector<Day>& wanted);

  /// Adds groups that take of the resource on the day, until these give back `amount`; whether they
  /// do. Only those that `may` says are asked, by chance.
  bool choose(ResourceId resource, Day day, Amount amount, const Schedule& schedule,
              const std::vector<bool>& may, std::mt19937_64& random,
              std::vector<GroupId>& chosen) const;

 private:
  struct Take {
    Day wanted = 0;  ///< the day on which it would begin today
    std::uint32_t use = 0;
  };
  Amount taken(const Take& take, Day day, const Schedule& schedule) const;

  const Problem& problem_;
  std::vector<std::vector<Take>> takes_;  ///< by resource, then by day
};

}  // namespace budwood::levelling
