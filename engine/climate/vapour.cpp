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

double vapour_pressure(double temperature, double humidity) {
  if (!is_share(humidity)) return refused;
  return humidity * saturation_vapour_pressure(temperature);
}

double vapour_pressure_deficit(double temperature, double humidity) {
  if (!is_share(humidity)) return refused;
  return saturation_vapour_pressure(temperature) * (1 - humidity);
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

}  // namespace budwood::climate
