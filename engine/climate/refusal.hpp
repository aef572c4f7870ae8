/// Arguments that make no sense. Only for the .cpp files of this module.
#pragma once

#include <cmath>
#include <limits>

namespace budwood::climate {

/// The answer to them: a NaN travels along a column of values.
inline constexpr double refused = std::numeric_limits<double>::quiet_NaN();

/// Above 0 K.
inline bool is_temperature(double value) {
  return value > 0 && std::isfinite(value);
}

}  // namespace budwood::climate
