#include "statistics/sample_size.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "exact_sums.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

TEST_CASE("10 % rising to 20 % in one group") {
  // NIST/SEMATECH e-Handbook, 7.2.4.2: one-sided 5 %, miss risk 10 %.
  const auto size = one_group_size(0.10, 0.20, 0.90, {0.05, 1});
  REQUIRE(size);
  CHECK(within(*size, 101.26, 0.05));
  CHECK(std::ceil(*size) == 102);
  CHECK(std::ceil(*one_group_size_corrected(0.10, 0.20, 0.90, {0.05, 1})) == 112);
}

TEST_CASE("50 % against 75 % in two groups") {
  // The standard example of the pooled normal rule, recomputed; arcsine rule after Cohen 1988.
  CHECK(within(*two_group_power(50, 0.50, 0.75, {0.05, 2}), 0.740, 0.0005));
  CHECK(within(*two_group_size(0.50, 0.75, 0.90, {0.05, 2}), 76.7, 0.05));
  CHECK(within(*two_group_size_arcsine(0.50, 0.75, 0.90, {0.05, 2}), 76.65, 0.05));
  // Size and power are each other's inverse.
  const double n = *two_group_size(0.50, 0.75, 0.90, {0.05, 2});
  CHECK(within(*two_group_power(n, 0.50, 0.75, {0.05, 2}), 0.90, 1e-9));
}

TEST_CASE("10 % against 12 % in two groups") {
  // A widely used example.
  CHECK(std::ceil(*two_group_size(0.10, 0.12, 0.80, {0.05, 2})) == 3841);
}

TEST_CASE("runs without a failure") {
  // ln(0.05) / ln(0.95) = 58.4.
  CHECK(runs_without_failure(0.95, 0.95) == 59);
  for (const double success : {0.5, 0.9, 0.99, 0.9999}) {
    for (const double confidence : {0.5, 0.9, 0.95, 0.999}) {
      const auto runs = runs_without_failure(success, confidence);
      REQUIRE(runs);
      CHECK(std::pow(success, *runs) <= (1 - confidence) * (1 + 1e-9));
      CHECK(std::pow(success, *runs - 1) > (1 - confidence) * (1 - 1e-9));
    }
  }
  CHECK(runs_without_failure(0.5, 0.75) == 2);  // just reached
}

TEST_CASE("sizes that cannot be") {
  CHECK_FALSE(one_group_size(0.2, 0.2, 0.9, {0.05, 1}));
  CHECK_FALSE(one_group_size(-0.1, 0.2, 0.9, {0.05, 1}));
  CHECK_FALSE(one_group_size(0.1, 0.2, 1, {0.05, 1}));
  CHECK_FALSE(one_group_size_corrected(0.1, 0.2, 0.9, {0, 1}));
  CHECK_FALSE(two_group_size(0.1, 0.2, 0.9, {0.05, 3}));
  CHECK_FALSE(two_group_size_arcsine(0.1, 1.2, 0.9, {0.05, 2}));
  CHECK_FALSE(two_group_power(0, 0.1, 0.2, {0.05, 2}));
  CHECK_FALSE(runs_without_failure(1, 0.95));
  CHECK_FALSE(runs_without_failure(0.95, 0));
}
