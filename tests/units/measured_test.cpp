#include "units/measured.hpp"

#include <doctest/doctest.h>

#include <string>

namespace budwood::units {

namespace {

std::string poured(double value, const char* unit) {
  const Unit u = *find_unit(unit);
  return format(measured(u.to_base(value), u), u);
}

}  // namespace

TEST_CASE("amounts are rounded up to what a jug or a pair of scales shows") {
  CHECK(poured(495.714, "mL") == "500 mL");
  CHECK(poured(619.285714, "mL") == "620 mL");
  CHECK(poured(14.7708, "g") == "15 g");
  CHECK(poured(14.18, "L") == "14.5 L");
  CHECK(poured(0.0337, "g") == "0.034 g");
  CHECK(poured(4.375, "L") == "4.4 L");
  CHECK(poured(3.745, "gal") == "3.8 gal");
  CHECK(poured(248.15, "m") == "250 m");
}

TEST_CASE("what a measure shows stays, and so does what is counted, lasts or is not there") {
  for (const double marks : {1.0, 1.05, 15.0, 100.0, 195.0, 330.0, 9.9}) {
    CHECK(measured(marks / 1000, *find_unit("mL")) > 0);
    CHECK(poured(marks, "mL") == format_number(marks) + " mL");
  }
  CHECK(poured(7.25, "trays") == "7.25 trays");
  CHECK(poured(12.345, "min") == "12.345 min");
  CHECK(measured(0, *find_unit("L")) == 0);
}

TEST_CASE("never less than is needed, and at most a twentieth more") {
  const Unit mL = *find_unit("mL");
  for (double amount = 0.013; amount < 1e6; amount *= 1.17) {
    CAPTURE(amount);
    const double base = mL.to_base(amount);
    CHECK(measured(base, mL) >= base * (1 - 1e-9));
    CHECK(measured(base, mL) <= base * 1.05 * (1 + 1e-9));
  }
}

}  // namespace budwood::units
