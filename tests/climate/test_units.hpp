/// Units in which the sources print their figures, for the tests alone.
#pragma once

#include "climate/climate.hpp"

namespace budwood::climate::test {

constexpr double degC(double value) {
  return value + kelvin_at_0_celsius;
}
constexpr double degF(double value) {
  return (value + 459.67) * 5 / 9;
}
constexpr double to_degC(double kelvin) {
  return kelvin - kelvin_at_0_celsius;
}
constexpr double to_degF(double kelvin) {
  return kelvin * 9 / 5 - 459.67;
}

/// A degree-day Fahrenheit in kelvin seconds.
constexpr double degree_day_F = degree_day * 5 / 9;

constexpr double hour = 3600;
constexpr double umol = 1e-6;
constexpr double foot_candle = 1 / 0.09290304;  // lux

/// |value - expected| <= tolerance; false for a NaN.
inline bool within(double value, double expected, double tolerance) {
  return value >= expected - tolerance && value <= expected + tolerance;
}

}  // namespace budwood::climate::test
