#pragma once

#include <cstdint>
#include <optional>

#include "statistics/rate.hpp"

namespace budwood::statistics {

/// How many to start so that enough come through.

/// The smallest n with P(X >= m) >= assurance, where X of n plants come through at the rate. With a
/// known rate X is binomial, else beta-binomial (see beta_binomial.hpp). A probability that misses
/// the assurance only by rounding (1e-11 of the smaller tail; 1e-9 for a rate from counts) counts
/// as reaching it. Checked for m up to 10 million and rates from 0.0001 to 1, where one search
/// takes some microseconds. Nothing when m is negative or above `largest_count`, the assurance is
/// not above 0 and below 1, the rate is 0, or more than `largest_count` would be needed. m = 0
/// needs none.
std::optional<std::int64_t> smallest_start(std::int64_t m, const Rate& rate, double assurance);
std::optional<std::int64_t> smallest_start(std::int64_t m, double rate, double assurance);

/// The assurance that each of `chains` independent chains must have for all to have it together:
/// assurance^(1 / chains). A NaN unless 0 < assurance < 1 and there is a chain.
double assurance_of_each(double assurance, int chains);

}  // namespace budwood::statistics
