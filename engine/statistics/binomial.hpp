#pragma once

#include <cstdint>
#include <optional>

namespace budwood::statistics {

/// Larger counts are refused. Ten million plants at a share of 0.0001 need a tenth of it.
inline constexpr std::int64_t largest_count = 1'000'000'000'000;

/// X of n plants are good, each with probability p, independently: the binomial distribution. Tails
/// go through the incomplete beta function (Boost.Math, in extended precision): relative error
/// below 1e-11 up to 10 million good plants and shares from 0.0001 to 1, however small the tail.
/// Refused, with a NaN: n outside 0 to `largest_count`, p outside 0 to 1.

/// P(X >= m).
double binomial_at_least(std::int64_t n, std::int64_t m, double p);
/// P(X < m), not by subtraction from 1.
double binomial_fewer_than(std::int64_t n, std::int64_t m, double p);
/// P(X = k).
double binomial_exactly(std::int64_t n, std::int64_t k, double p);
/// The smallest k with P(X <= k) >= share. Nothing unless 0 < share < 1.
std::optional<std::int64_t> binomial_quantile(std::int64_t n, double p, double share);

}  // namespace budwood::statistics
