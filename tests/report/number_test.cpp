#include "report/formats/number.hpp"

#include <doctest/doctest.h>

#include <limits>

using namespace budwood::report;

TEST_CASE("numbers carry no binary noise") {
  CHECK(number_text(0.1 + 0.2) == "0.3");
  CHECK(number_text(1.0 / 3) == "0.333333333333");
  CHECK(number_text(640) == "640");
  CHECK(number_text(-2.5) == "-2.5");
  CHECK(number_text(0) == "0");
  CHECK(number_text(-0.0) == "0");
}

TEST_CASE("no number has no text") {
  CHECK(number_text(std::numeric_limits<double>::quiet_NaN()).empty());
  CHECK(number_text(std::numeric_limits<double>::infinity()).empty());
}

TEST_CASE("very large and very small numbers") {
  CHECK(number_text(123456789012345) == "123456789012345");
  CHECK(number_text(0.00001) == "0.00001");
}
