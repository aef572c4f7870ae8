#include "statistics/binomial.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "exact_sums.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

TEST_CASE("tails of small numbers agree with adding up") {
  for (int n = 0; n <= 24; ++n) {
    for (const double p : {0.0, 0.0001, 0.2, 0.5, 0.85, 0.9999, 1.0}) {
      const auto probabilities = binomial_probabilities(n, p);
      double below = 0;
      for (int m = 0; m <= n + 1; ++m) {
        CHECK(within(binomial_fewer_than(n, m, p), below, 1e-14));
        CHECK(within(binomial_at_least(n, m, p), 1 - below, 1e-14));
        if (m > n) break;
        const double exactly = probabilities[static_cast<std::size_t>(m)];
        CHECK(within(binomial_exactly(n, m, p), exactly, 1e-14));
        below += exactly;
      }
    }
  }
}

TEST_CASE("tails keep their relative precision at the extremes") {
  struct Case {
    std::int64_t n, m;
    double p;
  };
  const Case cases[] = {
      {44'824, 1, 1e-4},
      {11'847'367, 1'000, 1e-4},
      {100'052'027'234, 10'000'000, 1e-4},
      {33'347'844, 10'000'000, 0.3},
      {11'767'077, 10'000'000, 0.85},
      {10'001'053, 10'000'000, 0.9999},
      {1'000, 999, 0.5},
      {12'000'000, 10'000'000, 0.85},
      {263, 200, 0.8},
  };
  for (const Case& c : cases) {
    CAPTURE(c.n);
    CAPTURE(c.m);
    CAPTURE(c.p);
    const ExactTails exact = binomial_tails(c.n, c.m, c.p);
    if (exact.below > 1e-300L) {
      CHECK(
          within(binomial_fewer_than(c.n, c.m, c.p) / static_cast<double>(exact.below), 1, 1e-11));
    }
    CHECK(within(binomial_at_least(c.n, c.m, c.p) / static_cast<double>(exact.at_least), 1, 1e-11));
  }
}

TEST_CASE("quantiles agree with counting up") {
  for (int n = 0; n <= 30; ++n) {
    for (const double p : {0.0, 0.03, 0.5, 0.85, 1.0}) {
      for (const double share : {0.001, 0.05, 0.3, 0.5, 0.95, 0.999}) {
        std::int64_t k = 0;
        while (1 - binomial_at_least(n, k + 1, p) < share - 1e-12) ++k;
        CHECK(binomial_quantile(n, p, share) == k);
      }
    }
  }
  // 10 million plants at 85 %: 8.5 million, give or take 1.645 deviations of 1129.
  const auto low = binomial_quantile(10'000'000, 0.85, 0.05);
  REQUIRE(low);
  CHECK(within(static_cast<double>(*low), 8.5e6 - 1.6449 * 1129.16, 2));
  CHECK(binomial_fewer_than(10'000'000, *low + 1, 0.85) >= 0.05);
  CHECK(binomial_fewer_than(10'000'000, *low, 0.85) < 0.05);
}

TEST_CASE("a tray of 72 cells") {
  // Seed sowing guide: one seed a cell at 90 % fills 64.8 cells on average; three leave 0.1 %
  // empty.
  CHECK(within(72 * 0.9, 64.8, 0.1));
  const double empty = binomial_exactly(3, 0, 0.9);
  CHECK(within(empty, 0.001, 1e-12));
  // All 72 filled together is another question: 93.0 %, not 99.9 %.
  CHECK(within(binomial_at_least(72, 72, 1 - empty), 0.930, 0.0005));
  CHECK_FALSE(within(binomial_at_least(72, 72, 1 - empty), 0.999, 0.01));
}

TEST_CASE("five successes at 40 %") {
  // By trial 8, of the door-to-door example of the Pascal distribution.
  CHECK(within(binomial_at_least(8, 5, 0.4), 0.1736704, 1e-9));
}

TEST_CASE("numbers that cannot be") {
  const double not_a_number = std::numeric_limits<double>::quiet_NaN();
  for (const double p : {-0.1, 1.1, not_a_number}) {
    CHECK(std::isnan(binomial_at_least(10, 5, p)));
    CHECK(std::isnan(binomial_fewer_than(10, 5, p)));
    CHECK(std::isnan(binomial_exactly(10, 5, p)));
    CHECK_FALSE(binomial_quantile(10, p, 0.5));
  }
  CHECK(std::isnan(binomial_at_least(-1, 0, 0.5)));
  CHECK(std::isnan(binomial_at_least(largest_count + 1, 0, 0.5)));
  CHECK_FALSE(binomial_quantile(10, 0.5, 0));
  CHECK_FALSE(binomial_quantile(10, 0.5, 1));
  CHECK(binomial_at_least(5, -3, 0.2) == 1);
  CHECK(binomial_at_least(5, 6, 0.2) == 0);
}
