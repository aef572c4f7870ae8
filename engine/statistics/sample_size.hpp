#pragma once

#include <cstdint>
#include <optional>

namespace budwood::statistics {

/// How many plants a trial needs. Sizes come unrounded: round them up. Refused, with nothing:
/// shares outside 0 to 1 or equal to each other, risks and powers that are not above 0 and below 1.

/// Risk of calling a difference that is not there, on one side or both together.
struct Level {
  double risk = 0.05;
  int sides = 2;  ///< 1 or 2
};

/// Plants in each of two groups: pooled variance under the hypothesis of no difference, separate
/// ones otherwise (Fleiss, Levin & Paik 2003, Statistical Methods for Rates and Proportions,
/// eq. 4.14).
std::optional<double> two_group_size(double p1, double p2, double power, const Level& level);
/// The power of n plants in each of two groups, by the rule of `two_group_size`. The tail on the
/// wrong side is left out. n above 0.
std::optional<double> two_group_power(double n, double p1, double p2, const Level& level);

}  // namespace budwood::statistics
