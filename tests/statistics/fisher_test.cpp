#include "statistics/fisher.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "exact_sums.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

TEST_CASE("tea tasting") {
  // Fisher 1935, The Design of Experiments, ch. 2; Agresti, Categorical Data Analysis.
  const auto test = fisher_test({3, 4}, {1, 4});
  REQUIRE(test);
  CHECK(within(test->two_sided, 0.4857, 0.00005));
  CHECK(within(test->greater, 0.2429, 0.00005));
  CHECK(within(test->odds_ratio, 6.408309, 0.00005));
  // Not the odds ratio of the sample, which is 9.
  CHECK_FALSE(within(test->odds_ratio, 9, 1));
  // All four cups right: 1 / 70.
  const auto all_right = fisher_test({4, 4}, {0, 4});
  CHECK(within(all_right->greater, 1.0 / 70, 1e-7));
  CHECK(within(all_right->greater, 0.0142857, 1e-7));
  CHECK(std::isinf(all_right->odds_ratio));
}

TEST_CASE("tails share the table seen") {
  for (const int n1 : {1, 4, 30}) {
    for (const int n2 : {1, 5, 40}) {
      for (int a = 0; a <= n1; a += 3) {
        for (int b = 0; b <= n2; b += 4) {
          const auto test = fisher_test({a, n1}, {b, n2});
          const auto turned = fisher_test({b, n2}, {a, n1});
          REQUIRE(test);
          CHECK(test->less + test->greater >= 1 - 1e-12);
          CHECK(test->two_sided >= std::min(test->less, test->greater) - 1e-12);
          CHECK(within(test->less, turned->greater, 1e-12));
          CHECK(within(test->two_sided, turned->two_sided, 1e-12));
        }
      }
    }
  }
}

TEST_CASE("tables that cannot be, or only in one way") {
  CHECK_FALSE(fisher_test({5, 4}, {0, 4}));
  CHECK_FALSE(fisher_test({-1, 4}, {0, 4}));
  CHECK_FALSE(fisher_test({1, 9'000'000}, {1, 2'000'000}));
  const auto only_one = fisher_test({0, 4}, {0, 4});
  CHECK(only_one->two_sided == 1);
  CHECK(std::isnan(only_one->odds_ratio));
  CHECK(fisher_test({0, 0}, {3, 4})->two_sided == 1);
}

TEST_CASE("large tables") {
  const auto test = fisher_test({52'000, 100'000}, {51'000, 100'000});
  REQUIRE(test);
  // SciPy 1.10: 3.916266e-6. A normal curve with continuity correction gives nearly the same.
  CHECK(within(test->greater / 3.916266e-6, 1, 1e-5));
  const double z = (0.01 - 1e-5) / std::sqrt(0.515 * 0.485 * 2 / 1e5);
  CHECK(within(test->greater / (std::erfc(z / std::sqrt(2)) / 2), 1, 0.01));
  CHECK(within(test->odds_ratio, (52.0 / 48) / (51.0 / 49), 1e-4));
}
