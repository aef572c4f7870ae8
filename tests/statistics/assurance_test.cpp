#include "statistics/assurance.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "exact_sums.hpp"
#include "statistics/beta_binomial.hpp"
#include "statistics/binomial.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

TEST_CASE("how many to start") {
  // Binomial tails, recomputed as exact sums.
  CHECK(smallest_start(100, 0.85, 0.95) == 125);
  CHECK(within(binomial_at_least(125, 100, 0.85), 0.9501, 0.00005));
  CHECK(within(binomial_at_least(124, 100, 0.85), 0.9271, 0.00005));
  CHECK(smallest_start(72, 0.90, 0.95) == 85);
  CHECK(within(binomial_at_least(85, 72, 0.90), 0.9577, 0.00005));
  CHECK(within(binomial_at_least(84, 72, 0.90), 0.9259, 0.00005));
  CHECK(smallest_start(200, 0.80, 0.95) == 263);
  CHECK(within(binomial_at_least(263, 200, 0.80), 0.9511, 0.00005));
  CHECK(within(binomial_at_least(262, 200, 0.80), 0.9382, 0.00005));
}

TEST_CASE("simple division reaches the number only every other time") {
  // 100 / 0.85 is 117.6.
  CHECK(within(binomial_at_least(118, 100, 0.85), 0.5929, 0.00005));
}

TEST_CASE("the smallest start is the smallest, by counting up") {
  for (int m = 1; m <= 30; ++m) {
    for (const double p : {0.05, 0.3, 0.5, 0.85, 0.97, 0.9999}) {
      for (const double assurance : {0.01, 0.3, 0.5, 0.75, 0.9, 0.999}) {
        std::int64_t n = m;
        while (binomial_tails(n, m, p).at_least < assurance * (1 - 1e-13L)) ++n;
        CAPTURE(m);
        CAPTURE(p);
        CAPTURE(assurance);
        CHECK(smallest_start(m, p, assurance) == n);
      }
    }
  }
}

TEST_CASE("a probability that is just the assurance is enough") {
  // P(at least 1 of 2 at 50 %) is 3/4; at least 2 of 3 is 1/2.
  CHECK(smallest_start(1, 0.5, 0.75) == 2);
  CHECK(smallest_start(2, 0.5, 0.5) == 3);
  CHECK(smallest_start(1, 0.9, 0.99) == 2);
}

TEST_CASE("the whole range from one plant to ten million") {
  for (const std::int64_t m : {1LL, 17LL, 1'000LL, 123'456LL, 10'000'000LL}) {
    for (const double p : {0.0001, 0.02, 0.5, 0.92, 0.9999, 1.0}) {
      for (const double assurance : {0.5, 0.95, 0.999999}) {
        const auto n = smallest_start(m, p, assurance);
        REQUIRE(n);
        CAPTURE(m);
        CAPTURE(p);
        CAPTURE(assurance);
        const ExactTails enough = binomial_tails(*n, m, p);
        CHECK(enough.below <= (1 - assurance) * (1 + 1e-10L));
        if (*n > m) {
          const ExactTails fewer = binomial_tails(*n - 1, m, p);
          CHECK(fewer.below > (1 - assurance) * (1 - 1e-10L));
        }
      }
    }
  }
}

TEST_CASE("one plant more or surer never needs fewer") {
  std::mt19937 random(20270314);
  std::uniform_real_distribution<double> share(0.001, 1);
  for (int round = 0; round < 2000; ++round) {
    const auto m = std::uniform_int_distribution<std::int64_t>(1, 5000)(random);
    const double p = share(random);
    const double assurance = std::uniform_real_distribution<double>(0.01, 0.99)(random);
    const auto n = smallest_start(m, p, assurance);
    REQUIRE(n);
    CHECK(*smallest_start(m + 1, p, assurance) > *n);
    CHECK(*smallest_start(m, p, assurance + 0.005) >= *n);
    CHECK(*smallest_start(m, p * 0.99, assurance) >= *n);
  }
}

TEST_CASE("a rate from counts needs more than a known one") {
  const Rate known = *Rate::known(0.92);
  const Rate little = *Rate::counted(23, 25);
  const Rate some = *Rate::counted(184, 200);
  const Rate much = *Rate::counted(184'000, 200'000);
  for (const std::int64_t m : {50, 100, 1000, 20'000}) {
    const auto with_known = smallest_start(m, known, 0.95);
    CHECK(*smallest_start(m, much, 0.95) >= *with_known);
    CHECK(*smallest_start(m, some, 0.95) > *smallest_start(m, much, 0.95));
    CHECK(*smallest_start(m, little, 0.95) > *smallest_start(m, some, 0.95));
  }
}

TEST_CASE("the smallest start from counts is the smallest") {
  for (const std::int64_t m : {1, 2, 10, 100, 1000, 50'000}) {
    for (const auto& [good, seen] : {std::pair{184, 200}, {20, 20}, {3, 5}, {0, 4}}) {
      for (const double factor : {1.0, 0.9}) {
        for (const double assurance : {0.2, 0.5, 0.9, 0.99}) {
          const Rate rate = *Rate::known(factor) * *Rate::counted(good, seen);
          const auto n = smallest_start(m, rate, assurance);
          CAPTURE(m);
          CAPTURE(good);
          CAPTURE(seen);
          CAPTURE(factor);
          CAPTURE(assurance);
          REQUIRE(n);
          CHECK(predicted_at_least(*n, m, rate) >= assurance - 1e-8);
          if (*n > m) CHECK(predicted_at_least(*n - 1, m, rate) < assurance + 1e-8);
        }
      }
    }
  }
  // By adding up: 100 good plants from seed of which 184 of 200 came up.
  const auto n = smallest_start(100, *Rate::counted(184, 200), 0.95);
  REQUIRE(n);
  CHECK(beta_binomial_tails(*n, 100, 184.5, 16.5).at_least >= 0.95L);
  CHECK(beta_binomial_tails(*n - 1, 100, 184.5, 16.5).at_least < 0.95L);
}

TEST_CASE("the assurance of each of several chains") {
  CHECK(within(std::pow(assurance_of_each(0.9, 3), 3), 0.9, 1e-15));
  CHECK(assurance_of_each(0.9, 1) == 0.9);
  CHECK(std::isnan(assurance_of_each(0.9, 0)));
  CHECK(std::isnan(assurance_of_each(1, 2)));
}

TEST_CASE("starts that cannot be") {
  const double not_a_number = std::numeric_limits<double>::quiet_NaN();
  CHECK(smallest_start(0, 0.5, 0.9) == 0);
  CHECK_FALSE(smallest_start(-1, 0.5, 0.9));
  CHECK_FALSE(smallest_start(100, 0, 0.9));
  CHECK_FALSE(smallest_start(100, -0.5, 0.9));
  CHECK_FALSE(smallest_start(100, 1.5, 0.9));
  CHECK_FALSE(smallest_start(100, not_a_number, 0.9));
  CHECK_FALSE(smallest_start(100, 0.5, 0));
  CHECK_FALSE(smallest_start(100, 0.5, 1));
  CHECK_FALSE(smallest_start(100, 0.5, not_a_number));
  CHECK_FALSE(smallest_start(10'000'000, 1e-12, 0.9));  // more than can be counted
}
