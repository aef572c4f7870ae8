/// Private to this module.
#pragma once

#include <random>

#include "levelling/season/season_state.hpp"
#include "levelling/season/windows.hpp"

namespace budwood::levelling {

/// Days for many groups at once. Each chooses the days that are cheapest at the prices, and may be
/// where there is not enough: it pays for that. Those who are crowded choose again, one after the
/// other, and a day that stays crowded costs more each time, until there is enough for all
/// (negotiated congestion, from the routing of wires: McMurchie & Ebeling 1995).
///
/// Beside a search that never takes more than there is this finds its way where many groups have to
/// move together.
class SeasonCrowding : protected SeasonState {
 protected:
  SeasonCrowding(const Problem& problem, const SeasonOptions& options);

  struct Effort {
    std::size_t moves = 0;  ///< of groups, before it is given up
    Cost most = 0;          ///< that all groups may cost in the first objective
    std::function<bool()> stop;
  };
  /// Whether the days of a group may be chosen so.
  bool may_crowd(GroupId group) const;
  /// Chooses days anew for groups that may crowd. What comes of it is kept, and true, when there is
  /// enough for all of them and they cost no more than they may; else they are where they were.
  bool negotiate(const std::vector<GroupId>& groups, const Effort& effort, std::mt19937_64& random);

 private:
  struct Place {
    ResourceId resource = 0;
    Day day = 0;
  };
  std::size_t at(ResourceId resource, Day day) const {
    return static_cast<std::size_t>(resource) * days_ +
           static_cast<std::size_t>(day - profile_.first_day());
  }
  bool sweep(const std::vector<Former>& formers, const Effort& effort, std::mt19937_64& random);
  void move(const Former& former);
  std::vector<Day> crowded_days(GroupId group);
  void stand_crowded(GroupId group, const std::vector<Day>& days);
  Day slip_crowded(const Use& use, Day begin, Day end) const;
  double crowded_cost(const Use& use, Day begin, Day end) const;
  template <typename Look>
  void each_taken(GroupId group, const Look& look) const;
  bool note_crowded(GroupId group);
  bool gives_way(GroupId group);
  void raise_crowded();

  Windows windows_;
  std::size_t days_ = 0;        ///< of the profile
  std::vector<double> crowd_;   ///< by resource and day: what it costs to lack the largest use
  std::vector<double> scale_;   ///< by resource: the largest use
  std::vector<Amount> lack_;    ///< by resource and day: what is to be given back, below 0: all is
  std::vector<Place> crowded_;  ///< in this sweep
  std::vector<std::size_t> raised_;  ///< that are no longer what they were at first
};

}  // namespace budwood::levelling
