#include <doctest/doctest.h>

#include <limits>

#include "pictures/panel_scale.hpp"

using namespace budwood::pictures;

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

PanelScale scale(std::vector<double> low, std::vector<double> high, bool from_zero = false) {
  return scale_of({"", "", from_zero, {{"", std::move(low), std::move(high)}}});
}

}  // namespace

TEST_CASE("the scale of a panel holds all its values between round numbers") {
  const PanelScale one = scale({none, 18, 24}, {none, 18, 28});
  CHECK(one.low <= 18);
  CHECK(one.high >= 28);
  CHECK(one.ticks == std::vector<double>{15, 20, 25, 30});
  CHECK(one.share(one.low) == 0);
  CHECK(one.share(one.high) == 1);
}

TEST_CASE("what has a natural nothing starts from it") {
  CHECK(scale({120, 480}, {120, 480}, true).ticks == std::vector<double>{0, 200, 400, 600});
}

TEST_CASE("a flat curve has a scale") {
  for (const double value : {0.0, 20.0, -3.0, 1e-4}) {
    CAPTURE(value);
    const PanelScale one = scale({value, value}, {value, value});
    CHECK(one.low < one.high);
    CHECK(one.low <= value);
    CHECK(one.high >= value);
    CHECK(one.ticks.size() >= 2);
    CHECK(one.ticks.size() <= 6);
  }
}
