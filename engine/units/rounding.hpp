#pragma once

#include <algorithm>
#include <cmath>

/// What counts as the same number. Decimal fractions such as 0.35 do not exist in binary, so a
/// limit that is missed by rounding alone is met, and 35 x 0.2 is 7 and not a little more.
namespace budwood::units {

/// As a share of the larger of two values.
inline constexpr double rounding_slack = 1e-9;

inline double slack(double a, double b) {
  return rounding_slack * std::max(std::abs(a), std::abs(b));
}

/// The whole number that is not below `x`; one that is above it by rounding alone is no more. Whole
/// numbers stay as they are, however large.
inline double round_up(double x) {
  return std::ceil(x - std::min(slack(x, 1), 0.25));
}
inline double round_down(double x) {
  return std::floor(x + std::min(slack(x, 1), 0.25));
}

}  // namespace budwood::units
