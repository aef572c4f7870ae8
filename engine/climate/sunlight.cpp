#include "climate/sunlight.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "climate/light.hpp"
#include "climate/series.hpp"

namespace budwood::climate {

namespace {

using std::numbers::pi;

/// Of the sun on a day, radians.
struct Sun {
  double latitude = 0;
  double declination = 0;
  double sunset = 0;    ///< hour angle
  double distance = 0;  ///< inverse, relative
};

Sun sun_on(double latitude, int day_of_year) {
  const double turn = 2 * pi * day_of_year / 365;
  Sun out;
  out.latitude = latitude * pi / 180;
  out.declination = 0.409 * std::sin(turn - 1.39);  // Eq. 24
  out.distance = 1 + 0.033 * std::cos(turn);        // Eq. 23
  const double cosine = -std::tan(out.latitude) * std::tan(out.declination);
  out.sunset = std::acos(std::clamp(cosine, -1.0, 1.0));  // Eq. 25
  return out;
}

}  // namespace

double day_length(double latitude, int day_of_year) {
  constexpr double day = 86400;
  return day * sun_on(latitude, day_of_year).sunset / pi;
}

double sky_radiation(double latitude, int day_of_year) {
  constexpr double solar_constant = 0.0820e6;  // J/m2/min
  constexpr double minutes_a_day = 24 * 60;
  const Sun sun = sun_on(latitude, day_of_year);
  return minutes_a_day / pi * solar_constant * sun.distance *
         (sun.sunset * std::sin(sun.latitude) * std::sin(sun.declination) +
          std::cos(sun.latitude) * std::cos(sun.declination) * std::sin(sun.sunset));
}

double clear_radiation(double latitude, int day_of_year) {
  constexpr double clear = 0.75;
  return clear * sky_radiation(latitude, day_of_year);
}

double radiation_by_sunshine(double latitude, int day_of_year, double sunshine) {
  constexpr double overcast = 0.25;
  constexpr double by_sunshine = 0.5;
  const double longest = day_length(latitude, day_of_year);
  const double share = longest > 0 ? std::min(1.0, sunshine / longest) : 0;
  return (overcast + by_sunshine * share) * sky_radiation(latitude, day_of_year);
}

double light_of_radiation(double radiation) {
  constexpr double photosynthetic = 0.45;
  return photon_flux_from_watts(photosynthetic * radiation, *find_lamp("sunlight"));
}

double most_light_sum(double latitude, int day_of_year) {
  constexpr double photosynthetic = 0.5;
  return photon_flux_from_watts(photosynthetic * clear_radiation(latitude, day_of_year),
                                *find_lamp("sunlight"));
}

int day_of_year(calendar::Day day) {
  calendar::Date first = calendar::date_of(day);
  first.month = 1;
  first.day = 1;
  return day - *calendar::day_of(first) + 1;
}

std::optional<double> Sky::radiation(std::optional<double> latitude, calendar::Day day) const {
  const auto place = static_cast<std::size_t>(day - first);
  if (day >= first && place < measured.size() && !std::isnan(measured[place])) {
    return measured[place];
  }
  if (usual == Usual::radiation) return between_months(months, day);
  if (!latitude) return std::nullopt;
  const int of_year = day_of_year(day);
  if (usual == Usual::share) return share * clear_radiation(*latitude, of_year);
  if (usual != Usual::sunshine) return std::nullopt;
  return radiation_by_sunshine(*latitude, of_year, between_months(months, day));
}

}  // namespace budwood::climate
