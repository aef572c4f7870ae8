#include <doctest/doctest.h>

#include <random>

#include "units/units.hpp"

using namespace budwood::units;
namespace units = budwood::units;

namespace {

Dimension random_dimension(std::mt19937& random) {
  std::uniform_int_distribution<int> power(-4, 4);
  Dimension result;
  for (std::size_t i = 0; i < base_count; ++i) {
    result = result * Dimension::of(static_cast<Base>(i), power(random));
  }
  return result;
}

}  // namespace

TEST_CASE("multiplying and dividing dimensions undo each other") {
  std::mt19937 random(1);
  for (int i = 0; i < 500; ++i) {
    const Dimension a = random_dimension(random);
    const Dimension b = random_dimension(random);
    CHECK(a * b == b * a);
    CHECK(a * b / b == a);
    CHECK((a / a).is_number());
    CHECK(a.to_power(3) == a * a * a);
    CHECK(a.to_power(-1) == number / a);
    CHECK(a.to_power(2).square_root() == a);
  }
}

TEST_CASE("only even powers have a square root") {
  CHECK(area.square_root() == length);
  CHECK(number.square_root() == number);
  CHECK_FALSE(volume.square_root().has_value());
}

TEST_CASE("powers saturate instead of wrapping round") {
  Dimension d = length;
  for (int i = 0; i < 20; ++i) d = d * d;
  CHECK(d.power(Base::length) == 100);
  CHECK(length.to_power(-2000000000).power(Base::length) == -100);
}

TEST_CASE("dimensions are described in words") {
  CHECK(describe(number) == "a share or plain number");
  CHECK(describe(units::time) == "a length of time");
  CHECK(describe(temperature) == "a temperature");
  CHECK(describe(mass / volume) == "mass / volume");
  CHECK(describe(volume / count) == "volume / count");
  CHECK(describe(number / units::time) == "1 / time");
  CHECK(describe(substance / area) == "substance / area");
  CHECK(describe(mass / (count * units::time)) == "mass / (time * count)");
  CHECK(describe(temperature * temperature) == "temperature^2");
}
