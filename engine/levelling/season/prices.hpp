/// Private to this module: what lateness is proven for all groups together.
///
/// Rooms and crews are given a price for each day, and each group chooses the days on which it is
/// cheapest, late days and prices together, whatever the others do. What all of them pay, less the
/// price of all that there is, is no more than what any schedule costs in which there is enough for
/// all (Lagrangian relaxation: Fisher 1981; of resources in scheduling: Möhring, Schulz, Stork &
/// Uetz 2003). Prices are raised where more is taken than there is and lowered where less is
/// (subgradient ascent: Held & Karp 1971), so that the bound rises; each price by its own measure,
/// the mean of its last ways against their spread (Kingma & Ba 2015), and by less and less.
#pragma once

#include <functional>
#include <map>
#include <tuple>
#include <vector>

#include "levelling/season/groups.hpp"
#include "levelling/season/price_choice.hpp"
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
  /// choose at most so many times in all, as long as the share that is used up, 0 to 1, is less
  /// than 1. The groups are chosen for in two halves, side by side.
  Cost raise(Cost reached, std::size_t choices, const std::function<double()>& used);

  /// What counts when one group chooses beside all others.
  struct Beside {
    const Profile* profile = nullptr;
    bool priced = false;
    Cost most = 0;  ///< that its days may cost in the first objective
    /// What the largest use pays where nothing is left, by resource and day of the profile; null:
    /// it cannot be there.
    const std::vector<double>* crowd = nullptr;
  };
  /// Days for a group, by place in it: those that are cheapest of all, at the prices as they are or
  /// at none, on which each use finds enough by itself, but for those with ends that move apart.
  /// None when there are no such days.
  std::vector<Day> days_for(GroupId group, const Beside& beside);
  bool has_prices() const { return has_prices_; }

 private:
  /// What uses of one kind pay that begin on a day, or as many days later as they may.
  struct Table {
    ResourceId resource = 0;
    Day length = 0, slack = 0;
    std::vector<std::uint8_t> may_begin;  ///< by day
    std::vector<double> costs;            ///< by day
  };
  /// What half of the groups choose.
  struct Half {
    std::vector<PriceTree> trees;
    PriceChoice choice;
    double cost = 0;
    std::vector<double> taken;  ///< by resource and day: more than on the day before
  };
  /// How far prices have come, and where they go.
  struct Ascent {
    std::vector<double> drift, spread;  ///< by resource and day
    double drift_left = 1, spread_left = 1;
  };

  std::size_t place(ResourceId resource, Day day) const {
    return static_cast<std::size_t>(resource) * static_cast<std::size_t>(days_) +
           static_cast<std::size_t>(day - first_);
  }
  /// By resource there is one sum more than there are days.
  std::size_t sum_place(ResourceId resource, Day day) const {
    return place(resource, day) + resource;
  }
  void add_tree(PriceTree tree, GroupId group, std::uint32_t half);
  void set_table(PriceTake& take);
  double price(ResourceId resource, Day from, Day to) const;
  void add_up_prices();
  void fill(Table& table) const;
  Day slip_of(const PriceTake& take, Day day) const;
  void add_costs(const PriceNode& node, double* row) const;
  void add_costs(const PriceNode& node, const Beside& beside, double* row);
  void add_beside(const PriceTake& take, const PriceNode& node, const Beside& beside, double* row);
  bool look_beside(const PriceTake& take, Day first, Day end, const Beside& beside);
  void add_up_lengths(Day length);
  void add_side(const PriceTake& take, Day first, Day last, double sign, const Beside& beside,
                double* row);
  void choose(Half& half) const;
  void take(Half& half, const PriceNode& node, Day day) const;
  double choose_all();
  std::vector<double> excess() const;
  bool step(const std::vector<double>& excess, double length, Ascent& ascent);

  Day first_ = 0, days_ = 0;
  std::vector<double> scale_;   ///< by resource: amounts are told in this
  std::vector<double> there_;   ///< by resource and day
  std::vector<double> prices_;  ///< the same
  std::vector<double> sums_;    ///< by resource, then the prices of the days before each day
  std::vector<bool> priced_;    ///< by resource: there is a day with a price
  std::vector<Table> tables_;
  std::map<std::tuple<ResourceId, Day, Day, const calendar::DaySet*>, std::uint32_t> table_of_;
  std::vector<Half> halves_;
  PriceChoice one_;                                               ///< of `days_for`
  std::vector<double> on_day_;                                    ///< what a use pays
  std::vector<std::pair<std::uint32_t, std::uint32_t>> tree_of_;  ///< by group: half and number
  bool has_prices_ = false;
};

}  // namespace budwood::levelling
