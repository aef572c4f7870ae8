/// Private to this module.
#pragma once

#include <span>
#include <vector>

#include "levelling/season/groups.hpp"
#include "levelling/season/place.hpp"
#include "levelling/season/profile.hpp"

namespace budwood::levelling {

/// Some groups as a small problem of their own, for the complete search.
///
/// It has what binds the groups, within one and between them, and what they take; of the resources
/// it has what is free without them. Bonds to the `held` groups are windows; those to all others
/// are left out, so that a piece with nothing held says what is true of all schedules.
class Piece {
 public:
  /// `free` is without what the chosen groups take; `held` is by group, none of them chosen.
  Piece(const Problem& whole, const Groups& groups, std::span<const GroupId> chosen,
        const Profile& free, const std::vector<bool>& held, const Schedule& schedule);

  const Problem& problem() const { return problem_; }
  /// What the whole schedule says of the piece.
  Schedule start(const Schedule& schedule) const;
  /// What a schedule of the piece says of a group, by its place among the chosen ones. It fits.
  Placement placement(const Schedule& schedule, std::size_t place) const;

 private:
  static constexpr PointId none = UINT32_MAX;
  PointId local(PointId point) const;
  void add_group(GroupId group);
  void add_bonds(GroupId group);
  void add_ties(GroupId group, const std::vector<bool>& held, const Schedule& schedule);
  void add_resources(const Profile& free);

  const Problem& whole_;
  const Groups& groups_;
  std::vector<GroupId> chosen_;
  std::vector<PointId> first_;  ///< by place: the first of the group's points in the piece
  std::vector<std::size_t> first_use_;
  Problem problem_;
};

}  // namespace budwood::levelling
