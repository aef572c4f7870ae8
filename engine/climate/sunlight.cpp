#include "climate/sunlight.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "climate/light.hpp"

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

double clear_light_sum(double latitude, int day_of_year) {
  constexpr double solar_constant = 0.0820e6;  // J/m2/min
  constexpr double minutes_a_day = 24 * 60;
  constexpr double clear = 0.75;
  constexpr double photosynthetic = 0.5;
  const Sun sun = sun_on(latitude, day_of_year);
  const double energy = minutes_a_day / pi * solar_constant * sun.distance *
                        (sun.sunset * std::sin(sun.latitude) * std::sin(sun.declination) +
                         std::cos(sun.latitude) * std::cos(sun.declination) * std::sin(sun.sunset));
  return photon_flux_from_watts(clear * photosynthetic * energy, *find_lamp("sunlight"));
}

}  // namespace budwood::climate
