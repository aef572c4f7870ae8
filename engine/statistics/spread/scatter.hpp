#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "statistics/differences.hpp"
#include "statistics/intervals.hpp"

namespace budwood::statistics {

/// Groups under one condition (plates, trays, batches) share their luck: counts in them scatter
/// more than a binomial allows. How much more, by moments. y of n are good in each of k groups, N
/// is the sum of n and p the share of all. Refused, with nothing: fewer than two groups with plants
/// in them, groups that are not counts, and where nothing can scatter because all or none are good.

/// All groups added up.
Group all_of(std::span<const Group> groups);

/// Whether groups scatter more than a binomial does (Tarone 1979, Biometrika 66:585-590).
struct TaroneTest {
  double z = 0;
  double p = 1;  ///< one-sided: by luck alone so large a z or a larger one
};
std::optional<TaroneTest> tarone_test(std::span<const Group> groups);

/// Variance of the share of all, from how groups differ: k / (k - 1) * sum of (y - n p)^2 / N^2
/// (Rao & Scott 1992, Biometrics 48:577-585). 0 where all groups are alike.
std::optional<double> share_variance(std::span<const Group> groups);

/// How many times the binomial variance that is: the design effect of Rao and Scott.
std::optional<double> design_effect(std::span<const Group> groups);

/// The share of all groups, with an interval that respects how they scatter: Wilson's
/// (intervals.hpp) for as many plants as remain when the count is divided by the design effect,
/// with Student's t for z, one degree of freedom less than groups. A design effect below 1 counts
/// as 1. One group alone, or groups of which all or none are good, say nothing of scatter: Wilson's
/// as it is. Nothing where there are no plants, or groups are not counts.
std::optional<Interval> scattered_interval(std::span<const Group> groups, double confidence = 0.95);

/// The design effect to plan with: groups of m with a likeness, 1 + (m - 1) likeness (Donner,
/// Birkett & Buck 1981, Am. J. Epidemiol. 114:906-914). m at least 1, a likeness below 0 counts as
/// none.
double planned_design_effect(double m, double likeness);

}  // namespace budwood::statistics
