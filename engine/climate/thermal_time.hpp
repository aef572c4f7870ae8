#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

namespace budwood::climate {

/// Thermal time: how much a plant develops, as temperature above a base, summed over time.
///
/// Temperatures are in kelvin; thermal time is in kelvin seconds, the coherent unit, of which one
/// degree-day (Celsius) has 86400. Refused, with a NaN: temperatures that are not above 0 K, a
/// minimum above the maximum, an upper threshold that is not above the base.

/// One degree-day in the coherent unit.
inline constexpr double degree_day = 86400;

/// What a day's minimum and maximum count for. On one day of 40 to 70 degF with a base of 50 degF
/// the four give 5, 10, 7.5 and 7.54 degree-days F, so whoever states a heat sum must name its
/// method. With T = (min + max) / 2:
enum class DegreeDayMethod : std::uint8_t {
  /// T, limited to base and upper threshold afterwards (McMaster & Wilhelm 1997, Agric. For.
  /// Meteorol. 87:291-300, method 1).
  average_limited_after,
  /// Minimum and maximum are each limited to base and upper threshold, then averaged (the same
  /// paper, method 2).
  average_limited_each,
  /// Four cases by where the base lies (Met Eireann, definition of degree-days): T - base above it;
  /// (max - base) / 2 - (base - min) / 4; (max - base) / 4; 0. The upper threshold takes off what
  /// the same rule gives above it.
  quarter_rule,
  /// A sine curve through minimum and maximum, the area above the base (Baskerville & Emin 1969,
  /// Ecology 50:514-517). The upper threshold is a horizontal cutoff: warmer hours count as the
  /// threshold, so the area above it is taken off.
  single_sine,
};

inline constexpr std::array<DegreeDayMethod, 4> degree_day_methods = {
    DegreeDayMethod::average_limited_after,
    DegreeDayMethod::average_limited_each,
    DegreeDayMethod::quarter_rule,
    DegreeDayMethod::single_sine,
};

/// The name of the enumerator: "single_sine".
std::string_view name_of(DegreeDayMethod method);
std::optional<DegreeDayMethod> find_degree_day_method(std::string_view name);

/// Development starts above `base` and gains nothing more above `upper`. Kelvin.
struct HeatLimits {
  double base = 0;
  std::optional<double> upper;
};

/// How far a temperature lies above the base, at most up to the upper threshold; never below 0.
double effective_heat(double temperature, const HeatLimits& limits);

/// Thermal time of one day from its minimum and maximum.
double thermal_time_of_day(double minimum, double maximum, const HeatLimits& limits,
                           DegreeDayMethod method);

}  // namespace budwood::climate
