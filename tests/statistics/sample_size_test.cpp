#include "statistics/sample_size.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "exact_sums.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

TEST_CASE("50 % against 75 % in two groups") {
  // The standard example of the pooled normal rule, recomputed.
  CHECK(within(*two_group_power(50, 0.50, 0.75, {0.05, 2}), 0.740, 0.0005));
  CHECK(within(*two_group_size(0.50, 0.75, 0.90, {0.05, 2}), 76.7, 0.05));
  // Size and power are each other's inverse.
  const double n = *two_group_size(0.50, 0.75, 0.90, {0.05, 2});
  CHECK(within(*two_group_power(n, 0.50, 0.75, {0.05, 2}), 0.90, 1e-9));
}

TEST_CASE("10 % against 12 % in two groups") {
  // A widely used example.
  CHECK(std::ceil(*two_group_size(0.10, 0.12, 0.80, {0.05, 2})) == 3841);
}

TEST_CASE("sizes that cannot be") {
  CHECK_FALSE(two_group_size(0.2, 0.2, 0.9, {0.05, 1}));
  CHECK_FALSE(two_group_size(-0.1, 0.2, 0.9, {0.05, 1}));
  CHECK_FALSE(two_group_size(0.1, 1.2, 0.9, {0.05, 1}));
  CHECK_FALSE(two_group_size(0.1, 0.2, 1, {0.05, 1}));
  CHECK_FALSE(two_group_size(0.1, 0.2, 0.9, {0, 1}));
  CHECK_FALSE(two_group_size(0.1, 0.2, 0.9, {0.05, 3}));
  CHECK_FALSE(two_group_power(0, 0.1, 0.2, {0.05, 2}));
}
