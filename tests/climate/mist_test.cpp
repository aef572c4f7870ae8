#include "climate/mist.hpp"

#include <doctest/doctest.h>

#include "test_units.hpp"

using namespace budwood::climate;
using namespace budwood::climate::test;

namespace {
constexpr double minute = 60;
constexpr double litre = 1e-3;
}  // namespace

TEST_CASE("20 s every 45 min round the clock are 32 pulses and 640 s") {
  // Common practice, no published source.
  const auto day = mist_day({20, 45 * minute, 0, 24 * hour, 0});
  REQUIRE(day);
  CHECK(day->pulses == 32);
  CHECK(day->time == 640);
  CHECK(day->volume == 0);
  // Round the clock from any hour.
  CHECK(mist_day({20, 45 * minute, 7 * hour, 7 * hour, 0})->pulses == 32);
  CHECK(mist_day({20, 45 * minute, 24 * hour, 0, 0})->pulses == 32);
}

TEST_CASE("a window of the day") {
  // From 07:00 to 19:00 every 30 min: the first at 07:00, the last at 18:30.
  const auto day = mist_day({10, 30 * minute, 7 * hour, 19 * hour, 3 * litre / minute});
  REQUIRE(day);
  CHECK(day->pulses == 24);
  CHECK(day->time == 240);
  CHECK(within(day->volume / litre, 12, 1e-9));
  // An interval that does not fit evenly: 07:00, 07:50, 08:40, 09:30.
  CHECK(mist_day({10, 50 * minute, 7 * hour, 10 * hour, 0})->pulses == 4);
  // An interval longer than the window leaves the pulse at its start.
  CHECK(mist_day({10, 4 * hour, 7 * hour, 9 * hour, 0})->pulses == 1);
  // Across midnight.
  CHECK(mist_day({10, 30 * minute, 22 * hour, 2 * hour, 0})->pulses == 8);
}

TEST_CASE("rounding adds no pulse") {
  for (int parts = 1; parts <= 2000; ++parts) {
    const double interval = 12 * hour / parts;
    CHECK(mist_day({1, interval, 6 * hour, 18 * hour, 0})->pulses == parts);
  }
}

TEST_CASE("mist that cannot be") {
  CHECK_FALSE(mist_day({0, 600, 0, 24 * hour, 0}));
  CHECK_FALSE(mist_day({10, 0, 0, 24 * hour, 0}));
  CHECK_FALSE(mist_day({-10, 600, 0, 24 * hour, 0}));
  CHECK_FALSE(mist_day({601, 600, 0, 24 * hour, 0}));
  CHECK_FALSE(mist_day({10, 25 * hour, 0, 24 * hour, 0}));
  CHECK_FALSE(mist_day({10, 600, -1, 24 * hour, 0}));
  CHECK_FALSE(mist_day({10, 600, 0, 25 * hour, 0}));
  CHECK_FALSE(mist_day({10, 600, 0, 24 * hour, -1}));
}
