#pragma once

#include <cstdint>

namespace budwood::language {

/// What formulas can do to values. Truth is 1 or 0; NaN stands for "no value" and travels, but
/// `both` and `either` are decided by one side where that is enough.
enum class Operation : std::uint8_t {
  add,
  subtract,
  multiply,
  divide,
  power,
  negate,
  less,
  less_equal,
  greater,
  greater_equal,
  equal,
  unequal,
  both,
  either,
  invert,
  if_known,  ///< 0 when there is no value
  choose,    ///< condition, then, else
  minimum,
  maximum,
  round,
  ceil,
  floor,
  absolute,
  square_root,
  exponential,
  logarithm,
  vapour_pressure_deficit,  ///< air temperature (K), relative humidity (share) -> Pa
  dew_point,                ///< the same two -> K
  absolute_humidity,        ///< the same two -> kg/m3
  photon_flux,              ///< lux, the number of a lamp -> mol/m2/s
  light_sum,                ///< photon flux (mol/m2/s), time a day (s) -> mol/m2 a day
};

}  // namespace budwood::language
