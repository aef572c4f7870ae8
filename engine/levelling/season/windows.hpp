/// Private to this module.
#pragma once

#include "levelling/season/groups.hpp"

namespace budwood::levelling {

/// The days that the bonds within one group leave to its points. Windows are by place in the group.
class Windows {
 public:
  Windows(const Problem& problem, const Groups& groups) : problem_(problem), groups_(groups) {}

  /// Raises the lower ends to the least schedule that is on or after them. False when one comes to
  /// lie above its upper end. All bonds are closed under taking the earlier of two schedules, so
  /// there is one least schedule (Dechter, Meiri & Pearl 1991 for lags; Jeavons & Cooper 1995).
  bool raise(GroupId group, std::vector<Day>& low, const std::vector<Day>& high) const;
  /// Lowers the upper ends to the latest schedule that is on or before them.
  bool lower(GroupId group, const std::vector<Day>& low, std::vector<Day>& high) const;

 private:
  bool raise_points(GroupId group, std::vector<Day>& low, const std::vector<Day>& high) const;
  bool lower_points(GroupId group, const std::vector<Day>& low, std::vector<Day>& high) const;
  bool raise_by_length(const Length& length, std::vector<Day>& low, const std::vector<Day>& high,
                       bool& moved) const;
  bool lower_by_length(const Length& length, std::vector<Day>& high, bool& moved) const;

  const Problem& problem_;
  const Groups& groups_;
};

}  // namespace budwood::levelling
