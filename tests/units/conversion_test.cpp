// Conversions against published factors.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "units/units.hpp"

using namespace budwood::units;

namespace {

Unit unit(const std::string& text) {
  const std::optional<Unit> found = find_unit(text);
  REQUIRE_MESSAGE(found.has_value(), text);
  return *found;
}

/// `value` in `from`, said in `to`.
double convert(double value, const std::string& from, const std::string& to) {
  REQUIRE(unit(from).dimension == unit(to).dimension);
  return unit(to).from_base(unit(from).to_base(value));
}

/// Equal but for the last bits of a double.
void check_exact(double got, double expected) {
  CHECK_MESSAGE(std::fabs(got - expected) <= 1e-14 * std::fabs(expected), got, " for ", expected);
}

}  // namespace

// NIST Special Publication 811 (2008), Appendix B.8, and the exact definitions behind it.
TEST_CASE("US measures have their exact factors") {
  check_exact(convert(1, "in", "mm"), 25.4);
  check_exact(convert(1, "ft2", "m2"), 0.09290304);
  check_exact(convert(1, "ft3", "L"), 28.316846592);
  check_exact(convert(1, "gal", "L"), 3.785411784);
  check_exact(convert(1, "gal", "in3"), 231);
  check_exact(convert(1, "fl_oz", "mL"), 29.5735295625);
  check_exact(convert(1, "lb", "g"), 453.59237);
  check_exact(convert(1, "oz", "g"), 28.349523125);
  check_exact(convert(1, "cfm", "m3/s"), 0.0004719474432);
  check_exact(convert(1, "cfm", "m3/h"), 1.69901079552);
  check_exact(convert(1, "gal/min", "L/min"), 3.785411784);
  CHECK(convert(1, "gal/min", "m3/s") == doctest::Approx(6.30901964e-5).epsilon(1e-9));
  // The cubic yard; one printed sheet has .7616.
  check_exact(convert(1, "yd3", "m3"), 0.764554857984);
  // The cubic foot; one printed table has 1729.
  check_exact(convert(1, "ft3", "in3"), 1728);
  check_exact(convert(1, "yd", "ft"), 3);
  check_exact(convert(1, "gal", "pint"), 8);
  check_exact(convert(1, "gal", "quart"), 4);
  CHECK(convert(1, "psi", "Pa") == doctest::Approx(6894.757).epsilon(1e-7));
}

TEST_CASE("an ounce of weight is never an ounce of volume") {
  CHECK_FALSE(unit("oz").dimension == unit("fl_oz").dimension);
}

// NIST SP 811 (2008), Appendix B.8: t/degC = (t/degF - 32)/1.8, T/K = t/degC + 273.15.
TEST_CASE("temperatures on a scale and differences of temperature") {
  CHECK(convert(80, "degF", "degC") == doctest::Approx(26.666667).epsilon(1e-7));
  CHECK(convert(10, "degF_difference", "degC_difference") ==
        doctest::Approx(5.555556).epsilon(1e-6));
  CHECK(convert(25, "degC", "K") == 298.15);  // not 298.16, as one worked example in print has it
  check_exact(convert(212, "degF", "K"), 373.15);
  CHECK(convert(-40, "degF", "degC") == doctest::Approx(-40).epsilon(1e-12));
  CHECK(unit("degC").absolute);
  CHECK(unit("degF").absolute);
  CHECK(unit("K").absolute);
  CHECK_FALSE(unit("degC_difference").absolute);
  CHECK_FALSE(unit("K_difference").absolute);
}

// NIST SP 811 (2008), Appendix B.8: 1 footcandle = 10.763 91 lux, that is 1 lumen a square foot.
TEST_CASE("light") {
  CHECK(std::fabs(convert(1, "fc", "lux") - 10.76391) <= 0.000005);
  check_exact(convert(2.5, "klx", "lux"), 2500);
  CHECK_FALSE(unit("lux").dimension == unit("umol/m2/s").dimension);
  // 100 umol/m2/s for 86400 s is 8.64 mol a day, by definition of the micromole and the day.
  check_exact(convert(100, "umol/m2/s", "mol/m2/day"), 8.64);
}

TEST_CASE("strengths of dips and powders") {
  // By definition of parts per million and per cent, mass per volume in water of 1000 g/L.
  check_exact(convert(3000, "ppm", "%"), 0.3);
  check_exact(unit("ppm").to_base(3000) * unit("g/L").to_base(1000), unit("g/L").to_base(3));
  // Supplier note on rooting powders: 0.1 to 0.4 % are 1000 to 4000 ppm.
  check_exact(convert(0.1, "%", "ppm"), 1000);
  check_exact(convert(0.4, "%", "ppm"), 4000);
}

TEST_CASE("pressure") {
  // Weast & Astle (1981), table of vapour pressure: 23.40 mbar at 20 degC; 1 mbar = 0.1 kPa.
  check_exact(convert(1, "mbar", "kPa"), 0.1);
  check_exact(convert(23.40, "mbar", "kPa"), 2.340);
  check_exact(convert(1, "bar", "hPa"), 1000);
}

TEST_CASE("time, energy and sums of temperature") {
  check_exact(convert(2, "weeks", "days"), 14);
  check_exact(convert(1, "day", "min"), 1440);
  check_exact(convert(1, "kWh", "MJ"), 3.6);
  check_exact(convert(24, "degree_hours", "degree_days"), 1);
  CHECK(unit("degree_days").dimension == temperature * budwood::units::time);
}

TEST_CASE("every named unit converts there and back") {
  for (const std::string& name : unit_names()) {
    CAPTURE(name);
    const Unit known = unit(name);
    CHECK(known.factor > 0);
    for (const double value : {-12.5, 0.0, 1.0, 7.25, 40000.0}) {
      const double size = std::fabs(value) + std::fabs(known.offset / known.factor) + 1;
      CHECK(std::fabs(known.from_base(known.to_base(value)) - value) <= 1e-14 * size);
    }
  }
}
