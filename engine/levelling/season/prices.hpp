/// Private to this module: what lateness is proven for all groups together.
///
/// Rooms and crews are given a price for each day, and each group chooses the days on which it is
/// cheapest, late days and prices together, whatever the others do. What all of them pay, less the
/// price of all that there is, is no more than what any schedule costs in which there is enough for
/// all (Lagrangian relaxation: Fisher 1981; of resources in scheduling: Möhring, Schulz, Stork &
/// Uetz 2003). Prices are raised where more is taken than there is and lowered where less is
/// (subgradient ascent: Held & Karp 1971), so that the bound rises.
#pragma once

#include <functional>
#include <vector>

#include "levelling/season/groups.hpp"
#include "levelling/season/price_trees.hpp"
#include "levelling/season/profile.hpp"

namespace budwood::levelling {

/// Lower bounds on the first objective.
///
/// The days of a group are chosen by dynamic programming over its points as a tree of bonds. Where
/// bonds close a ring one of them is left out; that may make a group cheaper, never dearer.
class Prices {
 public:
  /// `free`: what is there beside the groups that cannot move.
  Prices(const Problem& problem, const Groups& groups, const Profile& free);

  /// No schedule that places all groups costs less. `reached` is what the best known costs; groups
  /// choose at most so many times in all. The groups are chosen for in two halves, side by side.
  Cost raise(Cost reached, std::size_t choices, const std::function<bool()>& stop);

  /// Days for a group, by place in it, at the prices as they are, or at none: those that are
  /// cheapest of all on which the works that are done on one day find enough, each by itself. None
  /// when there are no such days that cost at most so much in the first objective.
  std::vector<Day> days_for(GroupId group, const Profile& beside, bool priced, Cost most);
  bool has_prices() const { return has_prices_; }

 private:
  struct Half;
  struct Beside {
    const Profile* profile = nullptr;
    bool priced = false;
    Cost most = 0;
  };
  /// What half of the groups choose.
  struct Half {
    std::vector<PriceTree> trees;
    double cost = 0;
    std::vector<double> taken;  ///< by resource and day
    // Of one tree at a time:
    std::vector<double> sums;          ///< by day of its nodes: what hangs on it pays at least
    std::vector<std::int32_t> best;    ///< by day of the parents: the best day of a node
    std::vector<std::int32_t> chosen;  ///< by node
    std::vector<std::int32_t> window;
  };

  std::size_t place(ResourceId resource, Day day) const {
    return static_cast<std::size_t>(resource) * static_cast<std::size_t>(days_) +
           static_cast<std::size_t>(day - first_);
  }
  double price(ResourceId resource, Day from, Day to) const;
  double cost_of(const PriceTake& take, Day day) const;
  double cost_beside(const PriceTake& take, Day day, const Beside& beside) const;
  double cost_of(const PriceNode& node, Day day, const Beside* beside) const;
  void add_up_prices();
  Day slip_of(const PriceTake& take, Day day) const;
  void choose(Half& half);
  void choose(Half& half, const PriceTree& tree, const Beside* beside = nullptr);
  void hang(Half& half, const PriceTree& tree, std::size_t node);
  void take(Half& half, const PriceNode& node, Day day) const;
  double choose_all();

  Day first_ = 0, days_ = 0;
  std::vector<double> scale_;   ///< by resource: amounts are told in this
  std::vector<double> there_;   ///< by resource and day
  std::vector<double> prices_;  ///< the same
  std::vector<double> sums_;    ///< by resource, then the prices of the days before each day
  std::vector<Half> halves_;
  Half one_;                                                      ///< scratch of `days_for`
  std::vector<std::pair<std::uint32_t, std::uint32_t>> tree_of_;  ///< by group: half and number
  bool has_prices_ = false;
};

}  // namespace budwood::levelling
