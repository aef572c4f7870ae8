#include "statistics/intervals.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "interval_check.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

TEST_CASE("Wilson, Newcombe 1998, Stat. Med. 17:857-872, Table I, method 3") {
  check(wilson(81, 263), 0.2553, 0.3662);
  check(wilson(0, 20), 0, 0.1611);
  check(wilson(1, 29), 0.0061, 0.1718);
  CHECK(wilson(0, 20)->low == 0);
  CHECK(wilson(20, 20)->high == 1);
  // NIST/SEMATECH e-Handbook, 7.2.4.1: 26 of 200, one-sided lower limit with z = 1.645.
  CHECK(within(wilson_for_z(26, 200, 1.645)->low, 0.09577, 0.00001));
}

TEST_CASE("limits mirror each other and enclose the share") {
  for (const int n : {1, 2, 17, 300}) {
    for (int x = 0; x <= n; ++x) {
      const Interval here = *wilson(x, n);
      const Interval mirrored = *wilson(n - x, n);
      const double share = static_cast<double>(x) / n;
      CHECK(within(here.low, 1 - mirrored.high, 1e-9));
      CHECK(here.low <= share);
      CHECK(here.high >= share);
      CHECK(here.low >= 0);
      CHECK(here.high <= 1);
    }
  }
}

TEST_CASE("intervals that cannot be") {
  CHECK_FALSE(wilson(5, 4));
  CHECK_FALSE(wilson(-1, 4));
  CHECK_FALSE(wilson(0, 0));
  CHECK_FALSE(wilson(1, 4, 1));
  CHECK_FALSE(wilson(1, 4, 0));
  CHECK_FALSE(wilson_for_z(1, 4, -1.645));
  CHECK_FALSE(wilson(1, 4, std::numeric_limits<double>::quiet_NaN()));
}
