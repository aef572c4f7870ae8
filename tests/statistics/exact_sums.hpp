/// Distributions by adding up their terms in long double, through ratios of neighbours from the
/// mode: no gamma or beta function takes part, so that the tests do not lean on what they test.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

namespace budwood::statistics::test {

struct ExactTails {
  long double below = 0;     ///< P(X < m)
  long double at_least = 0;  ///< P(X >= m)
};

/// `ratio_up(k)` is P(k + 1) / P(k) for k = 0 ... n - 1.
template <class Ratio>
ExactTails tails_by_ratios(std::int64_t n, std::int64_t m, std::int64_t mode,
                           const Ratio& ratio_up) {
  ExactTails tails;
  const auto add = [&](std::int64_t k, long double term) {
    (k >= m ? tails.at_least : tails.below) += term;
  };
  long double term = 1;
  add(mode, term);
  for (std::int64_t k = mode; k < n && term > 1e-400L; ++k) add(k + 1, term *= ratio_up(k));
  term = 1;
  for (std::int64_t k = mode; k > 0 && term > 1e-400L; --k) add(k - 1, term /= ratio_up(k - 1));
  const long double sum = tails.below + tails.at_least;
  return {tails.below / sum, tails.at_least / sum};
}

inline ExactTails binomial_tails(std::int64_t n, std::int64_t m, double p) {
  if (p == 1) return {m > n ? 1.0L : 0.0L, m > n ? 0.0L : 1.0L};
  const auto q = 1 - static_cast<long double>(p);
  const auto mode = std::clamp<std::int64_t>(static_cast<std::int64_t>((n + 1) * p), 0, n);
  return tails_by_ratios(n, m, mode, [&](std::int64_t k) {
    return static_cast<long double>(n - k) / static_cast<long double>(k + 1) * p / q;
  });
}

inline ExactTails beta_binomial_tails(std::int64_t n, std::int64_t m, double alpha, double beta) {
  const auto mode =
      std::clamp<std::int64_t>(static_cast<std::int64_t>(n * alpha / (alpha + beta)), 0, n);
  return tails_by_ratios(n, m, mode, [&](std::int64_t k) {
    return static_cast<long double>(n - k) * (k + static_cast<long double>(alpha)) /
           (static_cast<long double>(k + 1) * (n - k - 1 + static_cast<long double>(beta)));
  });
}

/// P(X = 0) ... P(X = n) for small n.
inline std::vector<double> binomial_probabilities(int n, double p) {
  std::vector<double> probabilities = {1};
  for (int i = 0; i < n; ++i) {
    std::vector<double> next(probabilities.size() + 1);
    for (std::size_t k = 0; k < probabilities.size(); ++k) {
      next[k] += probabilities[k] * (1 - p);
      next[k + 1] += probabilities[k] * p;
    }
    probabilities = next;
  }
  return probabilities;
}

/// |value - expected| <= tolerance; false for a NaN.
inline bool within(double value, double expected, double tolerance) {
  return value >= expected - tolerance && value <= expected + tolerance;
}

}  // namespace budwood::statistics::test
