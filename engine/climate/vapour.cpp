#include "climate/vapour.hpp"
#include "climate/refusal.hpp"

#include <cmath>
#include <limits>

namespace budwood::climate {
namespace {

// Eq. 11, in Pa and degC.
constexpr double at_0_celsius = 610.8;
constexpr double numerator = 17.27;
constexpr double offset = 237.3;

double celsius(double kelvin) {
  return kelvin - kelvin_at_0_celsius;
}

bool is_share(double value) {
  return value >= 0 && value <= 1;
}

}  // namespace

double saturation_vapour_pressure(double temperature) {
  if (!(temperature >= 200 && temperature <= 373.15)) return refused;
  const double t = celsius(temperature);
  return at_0_celsius * std::exp(numerator * t / (t + offset));
}

double saturation_slope(double temperature) {
  // The paper prints 4098 for 17.27 * 237.3 = 4098.17.
  const double t = celsius(temperature) + offset;
  return 4098 * saturation_vapour_pressure(temperature) / (t * t);
}

double mean_saturation_vapour_pressure(double minimum, double maximum) {
  if (!(minimum <= maximum)) return refused;
  return (saturation_vapour_pressure(minimum) + saturation_vapour_pressure(maximum)) / 2;
}

double vapour_pressure(double temperature, double humidity) {
  if (!is_share(humidity)) return refused;
  return humidity * saturation_vapour_pressure(temperature);
}

double vapour_pressure_from_extremes(double minimum, double maximum, double lowest_humidity,
                                     double highest_humidity) {
  if (!(minimum <= maximum) || !(lowest_humidity <= highest_humidity)) return refused;
  return (vapour_pressure(minimum, highest_humidity) + vapour_pressure(maximum, lowest_humidity)) /
         2;
}

double vapour_pressure_from_mean_humidity(double minimum, double maximum, double mean_humidity) {
  if (!is_share(mean_humidity)) return refused;
  return mean_humidity * mean_saturation_vapour_pressure(minimum, maximum);
}

double vapour_pressure_from_wet_bulb(double dry_bulb, double wet_bulb, double pressure,
                                     double coefficient) {
  if (!(wet_bulb <= dry_bulb) || !(pressure >= 0) || !(coefficient >= 0)) return refused;
  const double vapour =
      saturation_vapour_pressure(wet_bulb) - coefficient * pressure * (dry_bulb - wet_bulb);
  return vapour >= 0 ? vapour : refused;
}

double relative_humidity(double temperature, double vapour_pressure) {
  if (!(vapour_pressure >= 0)) return refused;
  return vapour_pressure / saturation_vapour_pressure(temperature);
}

double vapour_pressure_deficit(double temperature, double humidity) {
  if (!is_share(humidity)) return refused;
  return saturation_vapour_pressure(temperature) * (1 - humidity);
}

double leaf_vapour_pressure_deficit(double leaf_temperature, double air_temperature,
                                    double humidity) {
  return saturation_vapour_pressure(leaf_temperature) - vapour_pressure(air_temperature, humidity);
}

double humidity_for_deficit(double temperature, double deficit) {
  const double saturation = saturation_vapour_pressure(temperature);
  if (!(deficit >= 0 && deficit <= saturation)) return refused;
  return 1 - deficit / saturation;
}

double dew_point_at(double vapour_pressure) {
  if (!(vapour_pressure > 0)) return refused;
  const double power = std::log(vapour_pressure / at_0_celsius);
  const double temperature = offset * power / (numerator - power) + kelvin_at_0_celsius;
  // Outside the curve's range the inverse is meaningless. At its ends rounding may step outside.
  return temperature >= 199.999 && temperature <= 373.151 ? temperature : refused;
}

double dew_point(double temperature, double humidity) {
  return dew_point_at(vapour_pressure(temperature, humidity));
}

double absolute_humidity(double temperature, double humidity) {
  constexpr double gas_constant = 8.314462618;  // J/(mol K)
  constexpr double molar_mass = 0.018015;       // kg/mol
  return vapour_pressure(temperature, humidity) * molar_mass / (gas_constant * temperature);
}

double pressure_at_altitude(double altitude) {
  if (!(altitude >= -500 && altitude <= 9000)) return refused;
  return 101300 * std::pow((293 - 0.0065 * altitude) / 293, 5.26);
}

double psychrometric_constant(double pressure) {
  return pressure >= 0 ? 0.665e-3 * pressure : refused;
}

}  // namespace budwood::climate
