#include "climate/thermal_time.hpp"
#include "climate/refusal.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace budwood::climate {
namespace {

bool are_limits(const HeatLimits& limits) {
  return is_temperature(limits.base) &&
         (!limits.upper || (is_temperature(*limits.upper) && *limits.upper > limits.base));
}

double upper_of(const HeatLimits& limits) {
  return limits.upper.value_or(std::numeric_limits<double>::infinity());
}

double quarter_rule_above(double minimum, double maximum, double base) {
  const double mean = (minimum + maximum) / 2;
  if (minimum >= base) return mean - base;
  if (mean >= base) return (maximum - base) / 2 - (base - minimum) / 4;
  if (maximum > base) return (maximum - base) / 4;
  return 0;
}

double sine_above(double minimum, double maximum, double base) {
  const double mean = (minimum + maximum) / 2;
  const double half_range = (maximum - minimum) / 2;
  if (minimum >= base) return mean - base;
  if (maximum <= base) return 0;
  const double crossing = std::asin((base - mean) / half_range);
  return ((mean - base) * (std::numbers::pi / 2 - crossing) + half_range * std::cos(crossing)) /
         std::numbers::pi;
}

/// Mean kelvins above the base over the day.
double mean_heat(double minimum, double maximum, const HeatLimits& limits, DegreeDayMethod method) {
  const double base = limits.base;
  const double upper = upper_of(limits);
  const auto cut_off = [&](double (*above)(double, double, double)) {
    return above(minimum, maximum, base) - (limits.upper ? above(minimum, maximum, upper) : 0);
  };
  switch (method) {
    case DegreeDayMethod::average_limited_after:
      return effective_heat((minimum + maximum) / 2, limits);
    case DegreeDayMethod::average_limited_each:
      return (effective_heat(minimum, limits) + effective_heat(maximum, limits)) / 2;
    case DegreeDayMethod::quarter_rule:
      return cut_off(quarter_rule_above);
    case DegreeDayMethod::single_sine:
      return cut_off(sine_above);
  }
  return refused;
}

}  // namespace

std::string_view name_of(DegreeDayMethod method) {
  switch (method) {
    case DegreeDayMethod::average_limited_after:
      return "average_limited_after";
    case DegreeDayMethod::average_limited_each:
      return "average_limited_each";
    case DegreeDayMethod::quarter_rule:
      return "quarter_rule";
    case DegreeDayMethod::single_sine:
      return "single_sine";
  }
  return "";
}

std::optional<DegreeDayMethod> find_degree_day_method(std::string_view name) {
  for (const DegreeDayMethod method : degree_day_methods) {
    if (name_of(method) == name) return method;
  }
  return std::nullopt;
}

double effective_heat(double temperature, const HeatLimits& limits) {
  if (!is_temperature(temperature) || !are_limits(limits)) return refused;
  return std::max(std::min(temperature, upper_of(limits)) - limits.base, 0.0);
}

double thermal_time_of_day(double minimum, double maximum, const HeatLimits& limits,
                           DegreeDayMethod method) {
  if (!is_temperature(minimum) || !is_temperature(maximum) || minimum > maximum) return refused;
  if (!are_limits(limits)) return refused;
  return std::max(mean_heat(minimum, maximum, limits, method), 0.0) * degree_day;
}

}  // namespace budwood::climate
