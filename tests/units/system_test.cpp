#include <doctest/doctest.h>

#include "units/units.hpp"

using namespace budwood;
using units::System;

namespace {

/// A value as one system shows what is written in a unit: "71.6 degF".
std::string shown(double value, const char* unit, System system) {
  const units::Unit written = units::find_unit(unit).value();
  return units::format(written.to_base(value), units::in_system(written, system));
}

}  // namespace

// Factors: NIST Special Publication 811 (2008), Appendix B.8.
TEST_CASE("units of a site: metric values as US customary units show them") {
  CHECK(shown(25, "degC", System::us_customary) == "77 degF");
  CHECK(shown(5, "degC_difference", System::us_customary) == "9 degF_difference");
  CHECK(shown(3.785411784, "L", System::us_customary) == "1 gal");
  CHECK(shown(29.5735295625, "mL", System::us_customary) == "1 fl_oz");
  CHECK(shown(25.4, "mm", System::us_customary) == "1 in");
  CHECK(shown(2.54, "cm", System::us_customary) == "1 in");
  CHECK(shown(0.3048, "m", System::us_customary) == "1 ft");
  CHECK(shown(0.09290304, "m2", System::us_customary) == "1 ft2");
  CHECK(shown(28.349523125, "g", System::us_customary) == "1 oz");
  CHECK(shown(0.45359237, "kg", System::us_customary) == "1 lb");
  CHECK(shown(10.7639104167, "lux", System::us_customary) == "1 fc");
  CHECK(shown(3.785411784, "L/min", System::us_customary) == "1 gal/min");
}

TEST_CASE("units of a site: US customary values as metric units show them") {
  CHECK(shown(77, "degF", System::metric) == "25 degC");
  CHECK(shown(1, "gal", System::metric) == "3.785 L");
  CHECK(shown(1, "quart", System::metric) == "0.9464 L");
  CHECK(shown(2, "in", System::metric) == "5.08 cm");
  CHECK(shown(1, "lb", System::metric) == "0.4536 kg");
}

TEST_CASE("units of a site: what both share, what is counted and what is written stays") {
  for (const char* unit : {"days", "h", "%", "umol/m2/s", "kPa", "ppm", "plants", "trays"}) {
    CAPTURE(unit);
    const units::Unit written = units::find_unit(unit).value();
    CHECK(units::in_system(written, System::us_customary).symbol == written.symbol);
    CHECK(units::in_system(written, System::metric).symbol == written.symbol);
  }
  for (const char* unit : {"degC", "degF", "gal", "mL", "in"}) {
    CHECK(units::in_system(units::find_unit(unit).value(), System::as_written).symbol == unit);
  }
}

TEST_CASE("units of a site: strengths stay as bottles state them") {
  for (const char* unit : {"g/L", "kg/m3"}) {
    CAPTURE(unit);
    const units::Unit written = units::find_unit(unit).value();
    CHECK(units::in_system(written, System::us_customary).symbol == unit);
  }
  CHECK(shown(2, "g/m2", System::us_customary) == "0.006554 oz/ft2");
}

TEST_CASE("units of a site: a difference under the name of its scale stays a difference") {
  units::Unit difference = units::find_unit("degC_difference").value();
  difference.symbol = "degC";
  const units::Unit other = units::in_system(difference, System::us_customary);
  CHECK(other.symbol == "degF");
  CHECK_FALSE(other.absolute);
  CHECK(units::format(2, other) == "3.6 degF");
}

TEST_CASE("units of a site: another unit changes no quantity") {
  for (const std::string& name : units::unit_names()) {
    const std::optional<units::Unit> written = units::find_unit(name);
    if (!written) continue;
    for (const System system : {System::metric, System::us_customary}) {
      const units::Unit other = units::in_system(*written, system);
      CAPTURE(name);
      CHECK(other.dimension == written->dimension);
      CHECK(other.absolute == written->absolute);
      CHECK(other.to_base(other.from_base(3)) == doctest::Approx(3));
    }
  }
}
