#pragma once

#include <optional>
#include <span>
#include <vector>

#include "statistics/differences.hpp"

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

}  // namespace budwood::statistics
