#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "calendar/calendar.hpp"

namespace budwood::climate {

/// What the sun gives at a latitude (degrees, north positive) on a day of the year (1 to 366),
/// after Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56, chapter 3.
/// Radiation is global radiation on a level place, J/m2 a day.

int day_of_year(calendar::Day day);

/// From sunrise to sunset, seconds (Eq. 34); 0 in the polar night, a day in the polar day.
double day_length(double latitude, int day_of_year);

/// What comes to the top of the air (Eq. 21).
double sky_radiation(double latitude, int day_of_year);
/// On a clear day at sea level: three quarters of that (Eq. 36, 37).
double clear_radiation(double latitude, int day_of_year);
/// On a day with so many seconds of sunshine: a quarter of what comes to the air, and up to half of
/// it more (Eq. 35, with the values that it advises where none were measured).
double radiation_by_sunshine(double latitude, int day_of_year, double sunshine);

/// Light sum of so much radiation, mol/m2 between 400 and 700 nm: 45 % of the energy is such light
/// (Meek, Hatfield, Howell, Idso & Reginato 1984, Agronomy Journal 76:939-945, from memory), 4.57
/// umol a joule (McCree 1972, Agricultural Meteorology 10:443-453, as in Thimijan & Heins
/// 1983): 2.06 mol a MJ.
double light_of_radiation(double radiation);

/// The most that a clear day can bring outdoors, mol/m2: half of its energy such light (Szeicz
/// 1974, Journal of Applied Ecology 11:617-636). Under glass or film there is less.
double most_light_sum(double latitude, int day_of_year);

/// What a site knows of the sun: days that were measured, and what is usual on all others. Of what
/// is not known nothing is guessed.
struct Sky {
  enum class Usual : std::uint8_t {
    unknown,
    share,      ///< so much of a clear day: `share`
    radiation,  ///< `months`, J/m2 a day
    sunshine,   ///< `months`, seconds a day
  };
  Usual usual = Usual::unknown;
  double share = 0;
  std::array<double, 12> months{};
  calendar::Day first = 0;
  std::vector<double> measured;  ///< from `first` on, J/m2 a day; NaN on days without a value

  /// Nothing where it is not known, or rests on a latitude that is not.
  std::optional<double> radiation(std::optional<double> latitude, calendar::Day day) const;
};

}  // namespace budwood::climate
