#pragma once

#include "climate/series.hpp"

namespace budwood::climate {

/// What has to be heated on a day, kelvin seconds: by how much air that is kept is warmer than
/// outdoors, hour by hour, where it is. Outdoors goes as a sine between minimum and maximum, which
/// it reaches at 15:00 (common practice); `day` is from 6:00 to 18:00. A kept temperature that is a
/// NaN is not heated to.
double heating(double day, double night, const DayTemperature& outdoors);

}  // namespace budwood::climate
