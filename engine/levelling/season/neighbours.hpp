/// Private to this module.
#pragma once

#include <random>

#include "levelling/season/groups.hpp"

namespace budwood::levelling {

/// Who stands in whose way.
class Neighbours {
 public:
  Neighbours(const Problem& problem, const Groups& groups);

  /// The group and a few others that take of a resource that it takes, about the same time, in
  /// the order in which they are to choose again.
  std::vector<GroupId> choose(GroupId group, std::mt19937_64& random) const;

  /// The group and those that take most of what it takes at about the same time, as long as they
  /// are not `used` and have together no more than `points` points. Not by chance.
  std::vector<GroupId> cluster(GroupId group, std::size_t points,
                               const std::vector<bool>& used) const;

 private:
  struct Stand {
    Day middle = 0;  ///< of the days on which it can stand there
    GroupId group = 0;
  };

  const Problem& problem_;
  const Groups& groups_;
  std::vector<std::vector<Stand>> stands_;  ///< by resource, then by day
};

}  // namespace budwood::levelling
