#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

namespace budwood::climate {

/// Chilling of dormant wood, and vernalisation, counted hour by hour.
///
/// Temperatures are in kelvin. Each reading stands for one hour; results are plain numbers: hours,
/// chill units, or hours as good as those at the best temperature. A reading within a millionth of
/// a kelvin of a limit counts as on it, so that 45 degF is the same limit whatever scale it was
/// written in. Refused, with a NaN: readings that are not above 0 K, limits that are the wrong way
/// round.

/// How chilling is counted.
enum class ChillMethod : std::uint8_t {
  hours_below,          ///< hours colder than `upper`, which is itself not counted
  hours_between,        ///< hours from `lower` to `upper`, both counted (commonly 32 to 45 degF)
  utah,                 ///< Utah units; warm hours take units away
  utah_positive_hours,  ///< Utah units without the hours that take away
  utah_positive_days,   ///< Utah units; a day that would take away counts 0
  vernal_hours,         ///< hours, each by how much it vernalises; see `vernalisation`
};

inline constexpr std::array<ChillMethod, 6> chill_methods = {
    ChillMethod::hours_below,         ChillMethod::hours_between,      ChillMethod::utah,
    ChillMethod::utah_positive_hours, ChillMethod::utah_positive_days, ChillMethod::vernal_hours,
};

/// The name of the enumerator: "hours_below".
std::string_view name_of(ChillMethod method);
std::optional<ChillMethod> find_chill_method(std::string_view name);

struct ChillRule {
  ChillMethod method = ChillMethod::utah;
  double lower = 0;  ///< kelvin; only for hours_between and vernal_hours
  double upper = 0;  ///< kelvin; for hours_below, hours_between and vernal_hours
  double best = 0;   ///< kelvin, between the two; only for vernal_hours
};

/// Chill units of one hour (Richardson, Seeley & Walker 1974, HortScience 9:331-332): up to 34 degF
/// 0, to 36 a half, to 48 one, to 54 a half, to 60 none, to 65 minus a half, above it minus one.
double utah_units(double temperature);

/// How much of a plant's vernalisation an hour at a temperature brings, 1 at the best one, none
/// from the lower and the upper limit on outwards: the beta function of Wang & Engel 1998 (Agric.
/// Syst. 58:1-24), with a = ln 2 / ln((upper - lower) / (best - lower)) and x = (T - lower)^a over
/// (best - lower)^a: 2 x - x^2.
double vernalisation(double temperature, const ChillRule& rule);

/// Chilling of hourly readings, one day's or any number of them. With `utah_positive_days` (after
/// Linsley-Noakes, Louw & Allan 1995, J. S. Afr. Soc. Hort. Sci. 5:21-24) they are cut into days of
/// 24 readings from the first one on.
double chilling(std::span<const double> hourly_temperatures, const ChillRule& rule);

/// The 24 full hours of a day on one sine curve, coldest at 04:00 and warmest at 16:00:
/// T(h) = (min + max) / 2 + (max - min) / 2 * sin(2 pi (h - 10) / 24). The same curve that
/// single-sine degree-days integrate; it knows nothing of the neighbouring days.
std::array<double, 24> hourly_temperatures(double minimum, double maximum);

/// Chilling of one day whose hours follow that curve.
double chilling_of_day(double minimum, double maximum, const ChillRule& rule);

/// Chilling of a day of which twelve hours are as warm as `day` and twelve as `night`.
double chilling_of_halves(double day, double night, const ChillRule& rule);

}  // namespace budwood::climate
