#include "statistics/intervals.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "exact_sums.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

namespace {
void check(const std::optional<Interval>& interval, double low, double high,
           double tolerance = 0.00005) {
  REQUIRE(interval);
  CHECK(within(interval->low, low, tolerance));
  CHECK(within(interval->high, high, tolerance));
}
}  // namespace

TEST_CASE("Wilson, Newcombe 1998, Stat. Med. 17:857-872, Table I, method 3") {
  check(wilson(81, 263), 0.2553, 0.3662);
  check(wilson(0, 20), 0, 0.1611);
  check(wilson(1, 29), 0.0061, 0.1718);
  CHECK(wilson(0, 20)->low == 0);
  CHECK(wilson(20, 20)->high == 1);
  // NIST/SEMATECH e-Handbook, 7.2.4.1: 26 of 200, one-sided lower limit with z = 1.645.
  CHECK(within(wilson_for_z(26, 200, 1.645)->low, 0.09577, 0.00001));
}

TEST_CASE("Clopper-Pearson") {
  // Newcombe 1998, Table I, method 5, recomputed.
  check(clopper_pearson(81, 263), 0.2527, 0.3676);
  check(clopper_pearson(0, 20), 0, 0.1684);
  // Closed form 1 - 0.025^(1/100).
  check(clopper_pearson(0, 100), 0, 0.0362);
  check(clopper_pearson(0, 100), 0, 1 - std::pow(0.025, 0.01), 1e-12);
  // NIST/SEMATECH e-Handbook, 7.2.4.1: 4 of 20 at 90 %. The page's last sentence rounds the upper
  // limit to 0.400; the value above it is right.
  check(clopper_pearson(4, 20, 0.9), 0.071354, 0.401029, 0.00001);
  CHECK_FALSE(within(clopper_pearson(4, 20, 0.9)->high, 0.400, 0.0005));
}

TEST_CASE("exact limits leave just the tail that they promise") {
  for (const int n : {1, 5, 29, 200, 5000}) {
    for (int x = 0; x <= n; x += std::max(1, n / 7)) {
      const auto limits = clopper_pearson(x, n, 0.9);
      REQUIRE(limits);
      if (x > 0)
        CHECK(within(static_cast<double>(binomial_tails(n, x, limits->low).at_least), 0.05, 1e-9));
      if (x < n)
        CHECK(
            within(static_cast<double>(binomial_tails(n, x + 1, limits->high).below), 0.05, 1e-9));
    }
  }
}

TEST_CASE("Wald limits that leave the range are marked") {
  // Newcombe 1998, Table I, method 1, recomputed: 1 of 29 has a limit below 0.
  const auto limits = wald(1, 29);
  REQUIRE(limits);
  CHECK(within(limits->low, -0.0319, 0.00005));
  CHECK(within(limits->high, 0.1009, 0.00005));
  CHECK(limits->leaves_range);
  CHECK(wald(28, 29)->leaves_range);
  CHECK_FALSE(wald(81, 263)->leaves_range);
}

TEST_CASE("Wilson with continuity correction") {
  // Newcombe 1998, Table I, method 4, recomputed: 81 of 263 has 0.2535 to 0.3682, 0 of 20 has 0 to
  // 0.2005.
  check(wilson_corrected(81, 263), 0.2535, 0.3682);
  check(wilson_corrected(0, 20), 0, 0.2005);
}

TEST_CASE("limits mirror each other and enclose the share") {
  for (const int n : {1, 2, 17, 300}) {
    for (int x = 0; x <= n; ++x) {
      for (const auto method :
           {+[](std::int64_t a, std::int64_t b) { return *wilson(a, b); },
            +[](std::int64_t a, std::int64_t b) { return *wilson_corrected(a, b); },
            +[](std::int64_t a, std::int64_t b) { return *clopper_pearson(a, b); }}) {
        const Interval here = method(x, n);
        const Interval mirrored = method(n - x, n);
        const double share = static_cast<double>(x) / n;
        CHECK(within(here.low, 1 - mirrored.high, 1e-9));
        CHECK(here.low <= share);
        CHECK(here.high >= share);
        CHECK(here.low >= 0);
        CHECK(here.high <= 1);
      }
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
  CHECK_FALSE(clopper_pearson(5, 4));
  CHECK_FALSE(clopper_pearson(1, 4, std::numeric_limits<double>::quiet_NaN()));
  CHECK_FALSE(wald(5, 4));
  CHECK_FALSE(wilson_corrected(5, 4));
}
