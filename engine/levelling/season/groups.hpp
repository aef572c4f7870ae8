/// Private to this module.
#pragma once

#include <span>
#include <vector>

#include "levelling/problem.hpp"

namespace budwood::levelling {

/// The parts of a problem by group, and the bonds between groups.
class Groups {
 public:
  explicit Groups(const Problem& problem);

  std::size_t count() const { return points_.first.size() - 1; }
  std::span<const std::uint32_t> points(GroupId group) const { return points_.of(group); }
  /// Lags and lengths between points of the group.
  std::span<const std::uint32_t> lags(GroupId group) const { return lags_.of(group); }
  std::span<const std::uint32_t> lengths(GroupId group) const { return lengths_.of(group); }
  std::span<const std::uint32_t> uses(GroupId group) const { return uses_.of(group); }
  /// In Groups::terms.
  std::span<const std::uint32_t> terms(GroupId group) const { return terms_by_group_.of(group); }
  /// Lags that tie a point of the group to one of another.
  std::span<const std::uint32_t> ties(GroupId group) const { return ties_.of(group); }

  struct LevelTerm {
    std::uint32_t level = 0;  ///< in Problem::objectives
    Term term;
  };
  const LevelTerm& term(std::uint32_t id) const { return terms_[id]; }
  /// The place of a point among those of its group.
  std::uint32_t place(PointId point) const { return place_[point]; }
  /// Whether nothing of the group can move.
  bool is_fixed(GroupId group) const;

 private:
  /// Numbers by group, one group after the other.
  struct Lists {
    std::vector<std::uint32_t> first;  ///< of each group, and the end
    std::vector<std::uint32_t> ids;
    std::span<const std::uint32_t> of(GroupId group) const {
      return std::span(ids).subspan(first[group], first[group + 1] - first[group]);
    }
  };
  template <typename GroupOf>
  static Lists lists(std::size_t groups, std::size_t count, GroupOf group_of);

  const Problem& problem_;
  Lists points_, lags_, lengths_, uses_, terms_by_group_, ties_;
  std::vector<LevelTerm> terms_;
  std::vector<std::uint32_t> place_;
};

}  // namespace budwood::levelling
