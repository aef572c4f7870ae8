#pragma once

#include <optional>
#include <span>

#include "statistics/differences.hpp"
#include "statistics/intervals.hpp"
#include "statistics/rate.hpp"

namespace budwood::statistics {

/// What is known about the usual share after some batches, given what was taken for granted before.
struct MeanPosterior {
  double mean = 0;
  double deviation = 0;  ///< standard deviation
  Interval interval;     ///< of the mean, not of the next batch
};

/// The usual share by Bayes' rule: a beta prior, batches that scatter around the share with a given
/// rho (0 for luck alone). By summing over a fine grid; right to about 1e-5. Refused, with nothing:
/// a prior whose parts are below 1 (it would be infinite at an end), a rho below 0 or not below 1,
/// groups that are not counts, a confidence not above 0 and below 1.
std::optional<MeanPosterior> posterior_mean(const BetaShape& prior, std::span<const Group> batches,
                                            double rho, double confidence = 0.95);

}  // namespace budwood::statistics
