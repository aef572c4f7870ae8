#include "climate/chilling.hpp"
#include "climate/refusal.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace budwood::climate {
namespace {

constexpr double on_the_limit = 1e-6;  // kelvin

constexpr double fahrenheit(double degrees) {
  return (degrees + 459.67) * 5 / 9;
}

struct UtahBand {
  double up_to;  ///< kelvin, included
  double units;
};
constexpr std::array<UtahBand, 6> utah_bands = {{
    {fahrenheit(34), 0},
    {fahrenheit(36), 0.5},
    {fahrenheit(48), 1},
    {fahrenheit(54), 0.5},
    {fahrenheit(60), 0},
    {fahrenheit(65), -0.5},
}};

bool is_rule(const ChillRule& rule) {
  switch (rule.method) {
    case ChillMethod::hours_below:
      return is_temperature(rule.upper);
    case ChillMethod::hours_between:
      return is_temperature(rule.lower) && is_temperature(rule.upper) && rule.lower <= rule.upper;
    case ChillMethod::vernal_hours:
      return is_temperature(rule.lower) && is_temperature(rule.upper) && rule.lower < rule.best &&
             rule.best < rule.upper;
    default:
      return true;
  }
}

double chilling_of_hour(double temperature, const ChillRule& rule) {
  switch (rule.method) {
    case ChillMethod::hours_below:
      return temperature < rule.upper - on_the_limit ? 1 : 0;
    case ChillMethod::hours_between:
      return temperature >= rule.lower - on_the_limit && temperature <= rule.upper + on_the_limit
                 ? 1
                 : 0;
    case ChillMethod::utah_positive_hours:
      return std::max(utah_units(temperature), 0.0);
    case ChillMethod::utah:
    case ChillMethod::utah_positive_days:
      return utah_units(temperature);
    case ChillMethod::vernal_hours:
      return vernalisation(temperature, rule);
  }
  return refused;
}

double of_one_day(double sum, const ChillRule& rule) {
  return rule.method == ChillMethod::utah_positive_days ? std::max(sum, 0.0) : sum;
}

}  // namespace

std::string_view name_of(ChillMethod method) {
  switch (method) {
    case ChillMethod::hours_below:
      return "hours_below";
    case ChillMethod::hours_between:
      return "hours_between";
    case ChillMethod::utah:
      return "utah";
    case ChillMethod::utah_positive_hours:
      return "utah_positive_hours";
    case ChillMethod::utah_positive_days:
      return "utah_positive_days";
    case ChillMethod::vernal_hours:
      return "vernal_hours";
  }
  return "";
}

std::optional<ChillMethod> find_chill_method(std::string_view name) {
  for (const ChillMethod method : chill_methods) {
    if (name_of(method) == name) return method;
  }
  return std::nullopt;
}

double utah_units(double temperature) {
  if (!is_temperature(temperature)) return refused;
  for (const UtahBand& band : utah_bands) {
    if (temperature <= band.up_to + on_the_limit) return band.units;
  }
  return -1;
}

double vernalisation(double temperature, const ChillRule& rule) {
  if (!is_temperature(temperature) || !is_rule(rule)) return refused;
  if (temperature <= rule.lower || temperature >= rule.upper) return 0;
  const double reach = rule.best - rule.lower;
  const double a = std::numbers::ln2 / std::log((rule.upper - rule.lower) / reach);
  const double x = std::pow((temperature - rule.lower) / reach, a);
  return 2 * x - x * x;
}

double chilling(std::span<const double> hourly_temperatures, const ChillRule& rule) {
  if (!is_rule(rule)) return refused;
  double total = 0;
  for (std::size_t start = 0; start < hourly_temperatures.size(); start += 24) {
    double day = 0;
    for (const double temperature : hourly_temperatures.subspan(
             start, std::min<std::size_t>(24, hourly_temperatures.size() - start))) {
      if (!is_temperature(temperature)) return refused;
      day += chilling_of_hour(temperature, rule);
    }
    total += of_one_day(day, rule);
  }
  return total;
}

std::array<double, 24> hourly_temperatures(double minimum, double maximum) {
  std::array<double, 24> hours{};
  const bool valid = is_temperature(minimum) && is_temperature(maximum) && minimum <= maximum;
  for (std::size_t hour = 0; hour < hours.size(); ++hour) {
    const double angle = 2 * std::numbers::pi * (static_cast<double>(hour) - 10) / 24;
    hours[hour] =
        valid ? (minimum + maximum) / 2 + (maximum - minimum) / 2 * std::sin(angle) : refused;
  }
  return hours;
}

double chilling_of_day(double minimum, double maximum, const ChillRule& rule) {
  return chilling(hourly_temperatures(minimum, maximum), rule);
}

double chilling_of_halves(double day, double night, const ChillRule& rule) {
  if (!is_rule(rule) || !is_temperature(day) || !is_temperature(night)) return refused;
  return of_one_day(12 * (chilling_of_hour(day, rule) + chilling_of_hour(night, rule)), rule);
}

}  // namespace budwood::climate
