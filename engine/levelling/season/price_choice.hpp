/// Private to this module.
#pragma once

#include <functional>
#include <limits>
#include <vector>

#include "levelling/season/price_trees.hpp"

namespace budwood::levelling {

/// What a day costs on which a group cannot be.
inline constexpr double impossible = std::numeric_limits<double>::infinity();

/// The cheapest days of a tree, whatever each day of each of its nodes costs: from the nodes that
/// nothing hangs on up to the roots, each day of a node pays what the best days of all that hangs
/// on it pay.
class PriceChoice {
 public:
  /// Adds to `row` what a node costs, by day of it.
  using Costs = std::function<void(const PriceNode& node, double* row)>;

  /// The least that a tree costs; `impossible` where no days meet its bonds.
  double choose(const PriceTree& tree, const Costs& costs);
  /// By node: the number of its day; -1 where there was none.
  const std::vector<std::int32_t>& chosen() const { return chosen_; }

 private:
  void hang(const PriceNode& node, PriceNode const& parent);
  void hang_by_day(const PriceNode& node, const PriceNode& parent);
  std::int32_t best_below(const PriceNode& node, std::int32_t up) const;

  std::vector<double> sums_;   ///< by day of the nodes: what a day and all that hangs on it pay
  std::vector<double> least_;  ///< of as many days from each day on
  std::vector<std::int32_t> window_;
  std::vector<std::int32_t> chosen_;
};

}  // namespace budwood::levelling
