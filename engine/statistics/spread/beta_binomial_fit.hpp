#pragma once

#include <optional>
#include <span>
#include <vector>

#include "statistics/differences.hpp"
#include "statistics/rate.hpp"

namespace budwood::statistics {

/// Groups whose shares scatter around a mean as a beta distribution does: the beta-binomial
/// (Skellam 1948, J. R. Stat. Soc. B 10:257-261; Crowder 1978, Appl. Statist. 27:34-37), by maximum
/// likelihood.
struct BetaBinomialFit {
  std::vector<double> means;  ///< of each set of groups
  /// Likeness of two plants of a group, alpha + beta = 1 / rho - 1. Never below 0; 0 where groups
  /// scatter no more than a binomial, or all or none are good.
  double rho = 0;
  double log_likelihood = 0;  ///< with the binomial coefficients
};

/// One mean a set and one rho for all of them. Refused, with nothing: no set, a set without plants,
/// groups that are not counts.
std::optional<BetaBinomialFit> fit_beta_binomial(std::span<const std::vector<Group>> sets);
std::optional<BetaBinomialFit> fit_beta_binomial(std::span<const Group> groups);

/// The log-likelihood at given values, with the binomial coefficients. 0 < mean < 1, 0 <= rho < 1.
double beta_binomial_log_likelihood(std::span<const Group> groups, double mean, double rho);

/// A beta distribution with mean and variance of the shares seen, each group counting once. Wider
/// than the truth, since counting scatter is still in it. Nothing for fewer than two groups with
/// plants, or shares that do not differ.
std::optional<BetaShape> shape_by_moments(std::span<const Group> groups);

}  // namespace budwood::statistics
