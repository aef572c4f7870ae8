#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "units/units.hpp"

using namespace budwood::units;

TEST_CASE("numbers print as people write them") {
  CHECK(format_number(0) == "0");
  CHECK(format_number(-0.0) == "0");
  CHECK(format_number(12) == "12");
  CHECK(format_number(12.5) == "12.5");
  CHECK(format_number(1.0 / 3) == "0.333333");
  CHECK(format_number(2.0 / 3, 3) == "0.667");
  CHECK(format_number(-0.25) == "-0.25");
  CHECK(format_number(0.000001) == "0.000001");
  CHECK(format_number(1234567) == "1234567");  // a count keeps all its digits
  CHECK(format_number(999999.9) == "1000000");
  CHECK(format_number(0.99999999) == "1");
  CHECK(format_number(1e14) == "100000000000000");
  CHECK(format_number(1e15) == "1e+15");
  CHECK(format_number(std::numeric_limits<double>::quiet_NaN()) == "-");
  CHECK(format_number(std::numeric_limits<double>::infinity()) == "-");
  CHECK(format_number(std::numeric_limits<double>::denorm_min()) != "-");
  CHECK(format_number(std::numeric_limits<double>::max()) != "-");
}

TEST_CASE("the noise of binary fractions does not show in twelve digits") {
  CHECK(format_number(0.35 * 600, 12) == "210");
  CHECK(format_number(0.1 + 0.2, 12) == "0.3");
  CHECK(format_number(1.1 * 1.1, 12) == "1.21");
  CHECK(format_number(3 * 0.4, 12) == "1.2");
}

TEST_CASE("decimal numbers of up to six digits print as they were written") {
  std::mt19937 random(2);
  std::uniform_int_distribution<int> mantissa(1, 999999);
  std::uniform_int_distribution<int> decimals(0, 6);
  for (int i = 0; i < 2000; ++i) {
    const int places = decimals(random);
    const double value = mantissa(random) / std::pow(10.0, places);
    const std::string text = format_number(value);
    CHECK(std::stod(text) == value);
    CHECK(text.find('e') == std::string::npos);
  }
}

TEST_CASE("quantities print with their unit") {
  const auto shown = [](const std::string& text) {
    const std::optional<Parsed> parsed = parse_quantity(text);
    REQUIRE_MESSAGE(parsed.has_value(), text);
    return format(parsed->base(), parsed->unit);
  };
  CHECK(shown("14 days") == "14 days");
  CHECK(shown("1 days") == "1 day");
  CHECK(shown("1 week") == "1 week");
  CHECK(shown("0.5 days") == "0.5 days");
  CHECK(shown("1.5 h") == "1.5 h");
  CHECK(shown("85 %") == "85 %");
  CHECK(shown("26 degC") == "26 degC");
  CHECK(shown("26 °C") == "26 degC");
  CHECK(shown("0.1 degF") == "0.1 degF");
  CHECK(shown("1 plants") == "1 plant");
  CHECK(shown("0 plant") == "0 plants");
  CHECK(shown("1 boxes") == "1 box");
  CHECK(shown("1 leaves") == "1 leaf");
  CHECK(shown("50 mL") == "50 mL");
  CHECK(shown("1 plants/h") == "1 plant/h");
  CHECK(shown("55 per hour") == "55 per hour");
  CHECK(shown("12") == "12");
  CHECK(format(1, counting_unit("wicks")) == "1 wick");
  CHECK(format(1, counting_unit("glass")) == "1 glass");
  CHECK(format(1, counting_unit("batches")) == "1 batch");
  CHECK(format(1, counting_unit("trophies")) == "1 trophy");
}

TEST_CASE("every named unit prints one of itself as a name that is known") {
  for (const std::string& name : unit_names()) {
    const Unit unit = find_unit(name).value();
    const std::string text = format(unit.to_base(1), unit);
    CAPTURE(text);
    const std::optional<Parsed> again = parse_quantity(text);
    REQUIRE(again.has_value());
    CHECK(again->value == 1);
    CHECK(again->unit.symbol == unit.symbol);
  }
}

TEST_CASE("the usual unit follows dimension and size") {
  const auto shown = [](const std::string& text) {
    const Parsed parsed = parse_quantity(text).value();
    return format(parsed.base(), usual_unit(parsed.unit.dimension, parsed.base()));
  };
  CHECK(shown("2 weeks") == "14 days");
  CHECK(shown("90 min") == "1.5 h");
  CHECK(shown("0.25 h") == "15 min");
  CHECK(shown("10 s") == "10 s");
  CHECK(shown("0.5 L") == "500 mL");
  CHECK(shown("1000 mL") == "1 L");
  CHECK(shown("1 gal") == "3.78541 L");
  CHECK(shown("250 g") == "250 g");
  CHECK(shown("2 cm") == "2 cm");
  CHECK(shown("300 K") == "26.85 degC");
  CHECK(shown("12 mbar") == "1.2 kPa");
  CHECK(shown("120 umol/m2/s") == "120 umol/m2/s");
  CHECK(shown("30 crates") == "30");
  CHECK(shown("40 plants/h") == "40 per hour");
  CHECK(shown("5 mL/plant") == "0.000005 m3/piece");
  CHECK(shown("3 per week") == "0.0178571 per hour");
}

TEST_CASE("a hair below a whole unit is the unit") {
  // Ten portions of 100 g add up to 0.9999999999999999 kg.
  double portions = 0;
  for (int i = 0; i < 10; ++i) portions += 0.1;
  REQUIRE(portions < 1);
  CHECK(format(portions, usual_unit(mass, portions)) == "1 kg");
  CHECK(format(portions * 1e-3, usual_unit(volume, portions * 1e-3)) == "1 L");
}

TEST_CASE("one of what a site counts in words of its own, as short words make their singular") {
  CHECK(format(1, counting_unit("dies")) == "1 die");
  CHECK(format(1, counting_unit("pies")) == "1 pie");
  CHECK(format(1, counting_unit("daisies")) == "1 daisy");
}

TEST_CASE("the usual unit has the dimension that was asked for and its text is known") {
  std::mt19937 random(3);
  std::uniform_int_distribution<int> power(-3, 3);
  for (int i = 0; i < 500; ++i) {
    Dimension dimension;
    for (std::size_t base = 0; base < base_count; ++base) {
      // The text of a unit knows squares and cubes of measures, not of counted or paid things.
      const bool measure = static_cast<Base>(base) <= Base::temperature;
      const int limit = measure ? 3 : 1;
      dimension = dimension *
                  Dimension::of(static_cast<Base>(base), std::clamp(power(random), -limit, limit));
    }
    const Unit unit = usual_unit(dimension, 1);
    CHECK(unit.dimension == dimension);
    if (unit.symbol.empty()) continue;
    CAPTURE(unit.symbol);
    const std::optional<Unit> again = find_unit(unit.symbol);
    REQUIRE(again.has_value());
    CHECK(again->dimension == dimension);
    CHECK(again->factor == doctest::Approx(unit.factor).epsilon(1e-12));
  }
}
