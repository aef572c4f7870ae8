#pragma once

#include <cstdint>
#include <optional>

#include "statistics/rate.hpp"

namespace budwood::statistics {

/// X of n plants are good where the rate itself is only known from counts: each draws the same
/// unknown rate, so counts scatter more than a binomial and the scatter does not shrink with n.
/// With a beta distributed rate this is the beta-binomial distribution (Skellam 1948, J. R. Stat.
/// Soc. B 10:257-261). A known rate gives the binomial. Refused, with a NaN: n outside 0 to
/// `largest_count`, shapes that are not above 0.

/// P(X = k) for a rate that is Beta(alpha, beta).
double beta_binomial_exactly(std::int64_t n, std::int64_t k, const BetaShape& shape);

/// P(X >= m). Sums where few terms count; otherwise the mean, over one of the two beta
/// distributions involved, of the distribution function of the other, by Gauss-Legendre quadrature.
/// Absolute error below 1e-8, mostly far below.
double predicted_at_least(std::int64_t n, std::int64_t m, const Rate& rate);
/// P(X < m), not by subtraction from 1 where it is summed.
double predicted_fewer_than(std::int64_t n, std::int64_t m, const Rate& rate);

/// The smallest k with P(X <= k) >= share. Nothing unless 0 < share < 1.
std::optional<std::int64_t> predicted_quantile(std::int64_t n, const Rate& rate, double share);

}  // namespace budwood::statistics
