/// Arguments that make no sense. Only for the .cpp files of this module.
#pragma once

#include <cstdint>
#include <limits>

#include "statistics/binomial.hpp"

namespace budwood::statistics {

/// The answer to them.
inline constexpr double refused = std::numeric_limits<double>::quiet_NaN();

inline bool is_count(std::int64_t n) {
  return n >= 0 && n <= largest_count;
}

}  // namespace budwood::statistics
