#pragma once

#include <doctest/doctest.h>

#include <optional>

#include "exact_sums.hpp"
#include "statistics/intervals.hpp"

namespace budwood::statistics::test {

/// An interval as a source prints it, in four figures unless it says otherwise.
inline void check(const std::optional<Interval>& interval, double low, double high,
                  double tolerance = 0.00005) {
  REQUIRE(interval);
  CHECK(within(interval->low, low, tolerance));
  CHECK(within(interval->high, high, tolerance));
}

}  // namespace budwood::statistics::test
