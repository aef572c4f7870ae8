#pragma once

#include <optional>

#include "statistics/differences.hpp"

namespace budwood::statistics {

/// Fisher's exact test of whether two groups share one rate, given how many were good in all
/// (Fisher 1935, The Design of Experiments, ch. 2).
struct FisherTest {
  double two_sided = 1;  ///< tables that are no likelier than the one seen
  double greater = 1;    ///< at least as many good in the first group
  double less = 1;       ///< at most as many good in the first group
  /// Two mid-P values, which are two definitions: `two_sided` less half of the table seen, and less
  /// half of all tables that are as likely (Fagerland, Lydersen & Laake 2017). With equal groups
  /// they differ; say which.
  double mid_p_of_seen = 1;
  double mid_p_of_ties = 1;
  /// The odds ratio under which the table is likeliest given its margins (conditional maximum
  /// likelihood); 0 or infinite when the first group has the fewest or most good it can have, a NaN
  /// when the margins leave only one table.
  double odds_ratio = 1;
};

/// Exact sums over all tables. Refused, with nothing: groups that are not counts, or more than 10
/// million plants in all.
std::optional<FisherTest> fisher_test(const Group& first, const Group& second);

}  // namespace budwood::statistics
