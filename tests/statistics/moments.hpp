/// Other ways to the same numbers, for tests alone: what the program says by maximum likelihood is
/// held against estimators by moments and against the likelihood written out with log-gamma
/// functions.
#pragma once

#include <cmath>
#include <span>

#include "statistics/differences.hpp"
#include "statistics/rate.hpp"

namespace budwood::statistics::test {

/// The sums that the estimators by moments are made of.
struct PlateSums {
  double groups = 0, good = 0, plants = 0, plants_squared = 0, good_squared = 0;

  explicit PlateSums(std::span<const Group> all) {
    for (const Group& g : all) {
      const auto y = static_cast<double>(g.good);
      const auto n = static_cast<double>(g.of);
      ++groups;
      good += y;
      plants += n;
      plants_squared += n * n;
      good_squared += y * y / n;
    }
  }
};

/// The likeness of two plants of one group by the analysis of variance (Ridout, Demetrio & Firth
/// 1999, Biometrics 55:137-148). May come out below 0.
inline double likeness_anova(std::span<const Group> groups) {
  const PlateSums s(groups);
  const double between = (s.good_squared - s.good * s.good / s.plants) / (s.groups - 1);
  const double within = (s.good - s.good_squared) / (s.plants - s.groups);
  const double usual_size = (s.plants - s.plants_squared / s.plants) / (s.groups - 1);
  return (between - within) / (between + (usual_size - 1) * within);
}

/// The same by Fleiss and Cuzick's estimator (Ridout, Demetrio & Firth 1999). In small groups the
/// two differ by a factor of two.
inline double likeness_fleiss_cuzick(std::span<const Group> groups) {
  const PlateSums s(groups);
  const double p = s.good / s.plants;
  return 1 - (s.good - s.good_squared) / ((s.plants - s.groups) * p * (1 - p));
}

/// A beta distribution with mean and variance of the shares seen, each group counting once.
inline BetaShape shape_by_moments(std::span<const Group> groups) {
  const auto k = static_cast<double>(groups.size());
  double mean = 0;
  double variance = 0;
  const auto share = [](const Group& g) {
    return static_cast<double>(g.good) / static_cast<double>(g.of);
  };
  for (const Group& g : groups) mean += share(g) / k;
  for (const Group& g : groups) variance += std::pow(share(g) - mean, 2) / (k - 1);
  const double total = mean * (1 - mean) / variance - 1;
  return {mean * total, (1 - mean) * total};
}

/// The log-likelihood of the beta-binomial with its coefficients; of the binomial for a rho of 0.
inline double log_likelihood(std::span<const Group> groups, double mean, double rho) {
  double sum = 0;
  for (const Group& g : groups) {
    const auto y = static_cast<double>(g.good);
    const auto bad = static_cast<double>(g.of - g.good);
    sum += std::lgamma(y + bad + 1) - std::lgamma(y + 1) - std::lgamma(bad + 1);
    if (rho == 0) {
      sum += (y > 0 ? y * std::log(mean) : 0) + (bad > 0 ? bad * std::log1p(-mean) : 0);
      continue;
    }
    const double a = mean * (1 / rho - 1);
    const double b = (1 - mean) * (1 / rho - 1);
    sum += std::lgamma(a + y) + std::lgamma(b + bad) - std::lgamma(a + b + y + bad) -
           std::lgamma(a) - std::lgamma(b) + std::lgamma(a + b);
  }
  return sum;
}

}  // namespace budwood::statistics::test
