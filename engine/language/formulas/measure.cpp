#include "language/formulas/measure.hpp"

#include <algorithm>

namespace budwood::language {

const std::vector<MeasureFacts>& measures() {
  constexpr double zero_celsius = 273.15;
  constexpr double coldest = zero_celsius - 40;
  constexpr double hottest = zero_celsius + 60;
  constexpr double day = 86400;
  const auto flux = units::Dimension::of(units::Base::substance) / (units::area * units::time);
  const auto pressure = units::mass / (units::length * units::time.to_power(2));
  const Type kelvin = Type::temperature();
  const Type share = Type::quantity(units::number);
  const Type light = Type::quantity(flux);
  // The ranges are what a greenhouse, a store or a laboratory can be set to; common practice.
  static const std::vector<MeasureFacts> all{
      {Measure::air, "air", kelvin, "degC", coldest, hottest, true, 2},
      {Measure::leaf, "leaf", kelvin, "degC", coldest, hottest, true, 2},
      {Measure::root_zone, "root_zone", kelvin, "degC", coldest, hottest, true, 2},
      {Measure::humidity, "humidity", share, "%", 0, 1, true, 0.05},
      {Measure::vpd, "vpd", Type::quantity(pressure), "kPa", 0, 10e3, true, 200},
      {Measure::light, "light", light, "umol/m2/s", 0, 3e-3, true, 50e-6},
      {Measure::photoperiod, "photoperiod", Type::quantity(units::time), "h", 0, day, true, 3600},
      {Measure::shade, "shade", share, "%", 0, 1, true, 0.1},
      {Measure::co2, "co2", share, "ppm", 0, 0.01, true, 1e-4},
      {Measure::irrigation, "irrigation", Type::quantity(units::length / units::time), "L/m2/day",
       0, 1e-3, true, 1e-3 / day},
      {Measure::light_sum, "light_sum", light, "mol/m2/day", 0, 100 / day, true, 2 / day},
      {Measure::night_break, "night_break", Type::quantity(units::time), "h", 0, day / 2, true,
       3600},
      {Measure::dew_point, "dew_point", kelvin, "degC", coldest, hottest, false, 0},
      {Measure::absolute_humidity, "absolute_humidity", Type::quantity(units::mass / units::volume),
       "g/m3", 0, 1, false, 0},
      {Measure::mist_time, "mist_time", Type::quantity(units::time), "s", 0, day, false, 60},
      {Measure::mist_pulses, "mist_pulses", Type::quantity(units::number), "", 0, day, false, 0},
  };
  return all;
}

const MeasureFacts& facts_of(Measure measure) {
  return measures()[static_cast<std::size_t>(measure)];
}

const MeasureFacts* find_measure(const std::string& name) {
  const auto& all = measures();
  const auto found = std::find_if(all.begin(), all.end(),
                                  [&](const MeasureFacts& one) { return one.name == name; });
  return found == all.end() ? nullptr : &*found;
}

std::vector<Measure> sources_of(Measure measure) {
  switch (measure) {
    case Measure::vpd:
      return {Measure::vpd, Measure::air, Measure::humidity};
    case Measure::dew_point:
    case Measure::absolute_humidity:
      return {Measure::air, Measure::humidity};
    case Measure::photoperiod:
      return {Measure::photoperiod, Measure::light};
    case Measure::light_sum:
      return {Measure::light_sum, Measure::light, Measure::photoperiod};
    case Measure::mist_time:
    case Measure::mist_pulses:
      return {};
    default:
      return {measure};
  }
}

}  // namespace budwood::language
