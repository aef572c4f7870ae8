#include "language/setting_kinds.hpp"

#include <algorithm>

namespace budwood::language {

const std::vector<SettingKind>& setting_kinds() {
  constexpr double zero_celsius = 273.15;
  const auto flux = units::Dimension::of(units::Base::substance) / (units::area * units::time);
  const auto pressure = units::mass / (units::length * units::time.to_power(2));
  // The ranges are what a greenhouse, a store or a laboratory can be set to; common practice.
  static const std::vector<SettingKind> kinds{
      {"air", Type::temperature(), "degC", zero_celsius - 40, zero_celsius + 60},
      {"leaf", Type::temperature(), "degC", zero_celsius - 40, zero_celsius + 60},
      {"root_zone", Type::temperature(), "degC", zero_celsius - 40, zero_celsius + 60},
      {"humidity", Type::quantity(units::number), "%", 0, 1},
      {"vpd", Type::quantity(pressure), "kPa", 0, 10e3},
      {"light", Type::quantity(flux), "umol/m2/s", 0, 3e-3},
      {"shade", Type::quantity(units::number), "%", 0, 1},
      {"co2", Type::quantity(units::number), "ppm", 0, 0.01},
      {"irrigation", Type::quantity(units::length / units::time), "L/m2/day", 0, 1e-3},
  };
  return kinds;
}

const SettingKind* find_setting_kind(const std::string& name) {
  const auto& kinds = setting_kinds();
  const auto found = std::find_if(kinds.begin(), kinds.end(),
                                  [&](const SettingKind& kind) { return kind.name == name; });
  return found == kinds.end() ? nullptr : &*found;
}

}  // namespace budwood::language
