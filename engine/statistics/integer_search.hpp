/// Searching whole numbers for the first that is enough. Only for this module's .cpp files.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>

namespace budwood::statistics {

inline std::int64_t nearest_count(double value, std::int64_t lowest, std::int64_t highest) {
  if (!(value > static_cast<double>(lowest))) return lowest;
  if (value >= static_cast<double>(highest)) return highest;
  return static_cast<std::int64_t>(std::llround(value));
}

/// The smallest n from `lowest` to `highest` for which `reaches(n)`, which must not turn false
/// again. Strides that double lead from the guess to a bracket, halving closes it: a guess that
/// misses by d costs about 2 log2(d) calls, a right one two. Nothing when even `highest` does not
/// reach.
template <class Reaches>
std::optional<std::int64_t> smallest_reaching(std::int64_t lowest, std::int64_t highest,
                                              double guess, const Reaches& reaches) {
  std::int64_t low = nearest_count(guess, lowest, highest);
  std::int64_t high = low;
  std::int64_t stride = 1;
  if (reaches(low)) {
    do {
      high = low;
      if (high == lowest) return lowest;
      low = high - std::min(stride, high - lowest);
      stride *= 2;
    } while (reaches(low));
  } else {
    do {
      low = high;
      if (low == highest) return std::nullopt;
      high = low + std::min(stride, highest - low);
      stride *= 2;
    } while (!reaches(high));
  }
  while (high - low > 1) {
    const std::int64_t middle = low + (high - low) / 2;
    (reaches(middle) ? high : low) = middle;
  }
  return high;
}

/// The same for the first n whose `score` is 0 or more, where the score rises nearly in proportion
/// to n, so that a secant through the two ends finds it in a few calls; halving helps out where it
/// does not.
template <class Score>
std::optional<std::int64_t> smallest_scoring(std::int64_t lowest, std::int64_t highest,
                                             double guess, const Score& score) {
  std::int64_t low = lowest - 1;  // never asked for
  std::int64_t high = highest + 1;
  double low_score = -HUGE_VAL;
  double high_score = HUGE_VAL;
  std::int64_t next = nearest_count(guess, lowest, highest);
  double stride = std::max(1.0, std::abs(guess) * 1e-3);
  for (int calls = 0; high - low > 1; ++calls) {
    const double at_next = score(next);
    if (at_next >= 0) {
      high = next;
      high_score = at_next;
    } else {
      low = next;
      low_score = at_next;
    }
    double target = 0;
    if (std::isfinite(low_score) && std::isfinite(high_score) && calls % 4 != 3) {
      const double width = static_cast<double>(high - low);
      target = static_cast<double>(low) + width * low_score / (low_score - high_score);
    } else if (low < lowest) {
      target = static_cast<double>(high) - stride;
      stride *= 4;
    } else if (high > highest) {
      target = static_cast<double>(low) + stride;
      stride *= 4;
    } else {
      target = static_cast<double>(low) + static_cast<double>(high - low) / 2;
    }
    if (high - low > 1) {
      next = nearest_count(target, std::max(low + 1, lowest), std::min(high - 1, highest));
    }
  }
  if (high > highest) return std::nullopt;
  return high;
}

}  // namespace budwood::statistics
