#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "language/formulas/type.hpp"

namespace budwood::language {

/// What the climate of a stage is set in, and what follows from that.
enum class Measure : std::uint8_t {
  air,
  leaf,
  root_zone,
  humidity,
  vpd,  ///< vapour pressure deficit; set, or worked out from air and humidity
  light,
  photoperiod,  ///< set, or the hours of the light
  shade,
  co2,
  irrigation,
  light_sum,    ///< a day; set, or worked out from light and its hours
  night_break,  ///< light in the middle of the night, for so long
  // Never set, always worked out:
  dew_point,
  absolute_humidity,
  mist_time,    ///< seconds of mist a day
  mist_pulses,  ///< a day
};

struct MeasureFacts {
  Measure measure;
  std::string name;  ///< as it is written
  Type type;
  std::string unit;  ///< in which it is usually given
  double lowest;     ///< base units; a setting outside lowest to highest is a slip of the pen
  double highest;
  bool settable;  ///< `keep` and `taper` know it
  /// By how much two batches in one room may usually differ, base units; common practice.
  double tolerance;
};

const std::vector<MeasureFacts>& measures();
const MeasureFacts& facts_of(Measure measure);
/// nullptr when there is no measure of this name.
const MeasureFacts* find_measure(const std::string& name);

/// What a measure can be worked out from, itself included; mist is not among them.
std::vector<Measure> sources_of(Measure measure);
inline bool comes_from_mist(Measure measure) {
  return measure == Measure::mist_time || measure == Measure::mist_pulses;
}

}  // namespace budwood::language
