#include "climate/heating.hpp"

#include <cmath>
#include <numbers>

namespace budwood::climate {

double heating(double day, double night, const DayTemperature& outdoors) {
  constexpr int hours = 24;
  constexpr int dawn = 6;
  constexpr int dusk = 18;
  constexpr double warmest = 15;
  const double mean = (outdoors.minimum + outdoors.maximum) / 2;
  const double swing = (outdoors.maximum - outdoors.minimum) / 2;
  double out = 0;
  for (int hour = 0; hour < hours; ++hour) {
    const double turn = 2 * std::numbers::pi * (hour + 0.5 - warmest) / hours;
    const double kept = hour >= dawn && hour < dusk ? day : night;
    const double lack = kept - (mean + swing * std::cos(turn));
    if (lack > 0) out += lack * 3600;
  }
  return out;
}

}  // namespace budwood::climate
