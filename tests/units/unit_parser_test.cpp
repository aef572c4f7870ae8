#include <doctest/doctest.h>

#include <random>
#include <set>

#include "units/units.hpp"

using namespace budwood::units;
namespace units = budwood::units;

TEST_CASE("units of every kind are found") {
  CHECK(find_unit("L")->dimension == volume);
  CHECK(find_unit("day")->symbol == "days");
  CHECK(find_unit("%")->factor == 0.01);
  CHECK(find_unit("m2")->dimension == area);
  CHECK(find_unit("cm²")->dimension == area);
  CHECK(find_unit("ft³")->dimension == volume);
  CHECK(find_unit("umol/m2/s")->dimension == substance / area / units::time);
  CHECK(find_unit("g/L")->dimension == mass / volume);
  CHECK(find_unit("L/m2")->dimension == length);
  CHECK(find_unit("mol/m2/day")->dimension == substance / area / units::time);
  CHECK(find_unit("mL/plant")->dimension == volume / count);
  CHECK(find_unit("per hour")->dimension == number / units::time);
  CHECK(find_unit("per m2/day")->dimension == number / area / units::time);
  CHECK(find_unit("EUR")->dimension == money);
  CHECK(find_unit("EUR/kWh")->dimension == money / energy);
  CHECK(find_unit("kPa")->dimension == pressure);
  CHECK(find_unit("K*day")->dimension == find_unit("degree_days")->dimension);
}

TEST_CASE("both micro signs and the degree sign are read") {
  CHECK(find_unit("\u00B5mol/m²/s")->symbol == "umol/m2/s");
  CHECK(find_unit("\u03BCmol")->symbol == "umol");
  CHECK(find_unit("\u00B5m")->symbol == "um");
  CHECK(find_unit("\u03BCL")->symbol == "uL");
  CHECK(find_unit("\u00B5g")->symbol == "ug");
  CHECK(find_unit("°C")->symbol == "degC");
  CHECK(find_unit("°F")->symbol == "degF");
}

TEST_CASE("counted things say what is counted") {
  CHECK(find_unit("tray")->noun == "trays");
  CHECK(find_unit("trays")->noun == "trays");
  CHECK(find_unit("leaf")->noun == "leaves");
  CHECK(find_unit("kg")->noun.empty());
  CHECK(find_unit("plants/h")->noun.empty());
  CHECK(counting_unit("crate").noun == "crates");
  CHECK(counting_unit("wicks").noun == "wicks");
  CHECK(counting_unit("m").noun == "m");  // counts things called m, does not measure
  CHECK(counting_unit("m").dimension == count);
  for (const char* noun :
       {"plants",   "seeds",   "cuttings", "sticks", "scions", "stocks", "grafts",
        "trays",    "pots",    "cells",    "plugs",  "crates", "boxes",  "bags",
        "packs",    "bundles", "clips",    "labels", "ties",   "stakes", "pieces",
        "explants", "vessels", "jars",     "leaves", "buds",   "shoots", "flats",
        "rolls",    "blades",  "gloves",   "pairs",  "sheets"}) {
    CAPTURE(noun);
    REQUIRE(find_unit(noun).has_value());
    CHECK(find_unit(noun)->noun == noun);
    CHECK(find_unit(noun)->dimension == count);
  }
}

TEST_CASE("what is not a unit is not found") {
  for (const char* text :
       {"",          " ",      "/",    "//",       "m/",   "/s",          "m//s",
        "month",     "months", "year", "years",    "m4",   "m22",         "%2",
        "plants2",   "L2",     "2",    "m 2",      "per",  "per ",        "perhour",
        "per hour/", "*",      "m*",   "DAYS",     "eur",  "XXX",         "m^2",
        "(m)",       "µ",      "\xC2", "\xFF\xFE", "degK", "umol m-2 s-1"}) {
    CAPTURE(text);
    CHECK_FALSE(find_unit(text).has_value());
  }
  CHECK_FALSE(find_unit(std::string(100000, 'm')).has_value());
  CHECK_FALSE(find_unit("m" + std::string(100000, '/')).has_value());
}

TEST_CASE("a unit is at most 64 characters long") {
  const auto times = [](int factors) {
    std::string text = "m";
    for (int i = 1; i < factors; ++i) text += "*m";
    return text;
  };
  CHECK(find_unit(times(32)).has_value());
  CHECK_FALSE(find_unit(times(33)).has_value());
}

TEST_CASE("names are not listed twice") {
  const std::vector<std::string>& names = unit_names();
  CHECK(std::set<std::string>(names.begin(), names.end()).size() == names.size());
}

TEST_CASE("quotients of units read and compute like their text") {
  const Unit hour = *find_unit("h");
  CHECK(quotient(Unit{}, hour).symbol == "per hour");
  CHECK(quotient(Unit{}, *find_unit("days")).symbol == "per day");
  CHECK(quotient(*find_unit("mL"), *find_unit("plants")).symbol == "mL/plant");
  CHECK(quotient(*find_unit("g"), *find_unit("g/L")).symbol == "g*L/g");
  CHECK(quotient(hour, *find_unit("per day")).symbol == "h*days");
  CHECK_FALSE(quotient(*find_unit("degC"), hour).absolute);
  CHECK(quotient(*find_unit("degC"), hour).offset == 0);

  std::mt19937 random(4);
  const std::vector<std::string>& names = unit_names();
  std::uniform_int_distribution<std::size_t> pick(0, names.size() - 1);
  for (int i = 0; i < 1000; ++i) {
    const Unit a = *find_unit(names[pick(random)]);
    const Unit b = *find_unit(names[pick(random)]);
    const Unit c = *find_unit(names[pick(random)]);
    for (const Unit& made : {quotient(a, b), quotient(quotient(a, b), c),
                             quotient(a, quotient(b, c)), quotient(Unit{}, quotient(Unit{}, a))}) {
      CAPTURE(made.symbol);
      const std::optional<Unit> again = find_unit(made.symbol);
      REQUIRE(again.has_value());
      CHECK(again->symbol == made.symbol);
      CHECK(again->dimension == made.dimension);
      CHECK(again->factor == doctest::Approx(made.factor).epsilon(1e-12));
    }
  }
}

TEST_CASE("quantities are read") {
  CHECK(parse_quantity("30 crates")->value == 30);
  CHECK(parse_quantity("30 crates")->unit.noun == "crates");
  CHECK(parse_quantity("14days")->base() == 14 * 86400);
  CHECK(parse_quantity("  0.5 %  ")->base() == doctest::Approx(0.005));
  CHECK(parse_quantity("-3 degC")->base() == doctest::Approx(270.15));
  CHECK(parse_quantity("+2.5 cm")->value == 2.5);
  CHECK(parse_quantity(".5")->value == 0.5);
  CHECK(parse_quantity("12")->has_unit == false);
  CHECK(parse_quantity("12")->unit.dimension == number);
  CHECK(parse_quantity("55 per hour")->base() == doctest::Approx(55.0 / 3600));
}

TEST_CASE("what is not a quantity is refused and the odd unit named") {
  std::string piece = "left over";
  for (const char* text : {"", "   ", "days", "-", "+", ".", "1,5 L", "1.2.3", "nan", "inf", "0x10",
                           "--1", "1 2", "(3)"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_quantity(text, &piece).has_value());
  }
  CHECK_FALSE(parse_quantity("1,5 L", &piece).has_value());
  CHECK(piece.empty());
  CHECK_FALSE(parse_quantity("3 wheelbarrows", &piece).has_value());
  CHECK(piece == "wheelbarrows");
  CHECK_FALSE(parse_quantity("2 months", &piece).has_value());
  CHECK(piece == "months");
  CHECK_FALSE(parse_quantity("1e3", &piece).has_value());
  CHECK(piece == "e3");
  CHECK_FALSE(parse_quantity(std::string(5000, '9')).has_value());
}
