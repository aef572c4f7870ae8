/// Private to this module.
#pragma once

#include <limits>
#include <optional>
#include <tuple>
#include <vector>

#include "levelling/season/place.hpp"
#include "levelling/season/prices.hpp"
#include "levelling/season/season.hpp"

namespace budwood::levelling {

/// Where all groups stand while days are sought for them, what is free beside them, and what it
/// costs; each group can be taken out, placed anew, and put back as it was.
class SeasonState {
 protected:
  SeasonState(const Problem& problem, const SeasonOptions& options);

  struct Totals {
    Cost unplaced = 0;
    Cost missing = 0;
    Costs costs{};
    double unevenness = 0;
    auto key() const { return std::tie(unplaced, missing, costs, unevenness); }
  };

  /// What a group had, to go back to it.
  struct Former {
    GroupId group = 0;
    bool placed = false, dated = false, takes = false;
    Cost missing = 0;
    Costs costs{};
    std::vector<Day> days, slips;
  };

  std::vector<GroupId> order() const;
  Cost weight(GroupId group) const;
  /// One that does not fit takes nothing, so that it is in nobody's way, unless it is to.
  void settle(GroupId group, const Placement& placement, bool anyway = false);
  /// The days that are best by its bonds and the works of single days, and what these leave.
  Placement at_best(GroupId group, Cost most);
  void put(GroupId group, std::size_t tries, bool anyway = false,
           Cost most = std::numeric_limits<Cost>::max());
  void take_out(GroupId group);
  void add_up();
  void add(GroupId group, Cost times);
  Standing standing() const;
  Former former(GroupId group) const;
  /// Takes a group out, to be placed anew; gives what it had.
  Former leave(GroupId group);
  void restore(const Former& former);
  /// Where its days are, whether or not there is enough.
  void stand(GroupId group);
  void go_back(const std::vector<Former>& formers, const Totals& before);

  const Problem& problem_;
  const SeasonOptions& options_;
  Groups groups_;
  Profile profile_;
  Profile fixed_profile_;  ///< beside what cannot move
  Placer placer_;
  std::optional<Prices> prices_;
  std::vector<Day> wanted_;  ///< by point: where a group is to stand that is placed now
  bool priced_ = false;      ///< prices count where groups are placed
  Season season_;
  std::vector<bool> takes_;    ///< by group: what it takes is taken
  std::vector<Cost> missing_;  ///< by group
  std::vector<Costs> costs_;   ///< by group
  Totals totals_;
};

}  // namespace budwood::levelling
