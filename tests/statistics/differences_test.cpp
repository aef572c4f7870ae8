#include "statistics/differences.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "exact_sums.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

namespace {
void check(const std::optional<Interval>& interval, double low, double high) {
  REQUIRE(interval);
  CHECK(within(interval->low, low, 0.00005));
  CHECK(within(interval->high, high, 0.00005));
}
}  // namespace

// Figures of Newcombe 1998, Stat. Med. 17:873-890, Table II.

TEST_CASE("method 10") {
  CHECK(within(difference({56, 70}, {48, 80}), 0.2, 1e-12));
  check(newcombe({56, 70}, {48, 80}), 0.0524, 0.3339);
  check(newcombe({9, 10}, {3, 10}), 0.1705, 0.8090);
  check(newcombe({10, 10}, {0, 10}), 0.6075, 1.0);
}

TEST_CASE("method 11") {
  check(newcombe_corrected({56, 70}, {48, 80}), 0.0428, 0.3422);
}

TEST_CASE("method 6, Miettinen & Nurminen") {
  check(miettinen_nurminen({56, 70}, {48, 80}), 0.0528, 0.3382);
}

TEST_CASE("method 1, Wald") {
  const auto limits = wald_difference({56, 70}, {48, 80});
  REQUIRE(limits);
  check(*limits, 0.0575, 0.3425);
  CHECK_FALSE(limits->leaves_range);
  CHECK(wald_difference({19, 20}, {1, 20}, 0.999)->leaves_range);
}

TEST_CASE("exchanging the groups turns the sign") {
  for (const auto& [first, second] : {std::pair{Group{9, 10}, Group{3, 10}},
                                      {Group{0, 12}, Group{5, 7}},
                                      {Group{8, 8}, Group{8, 8}}}) {
    for (const auto method :
         {+[](const Group&a, const Group&b) { return *newcombe(a, b); },
          +[](const Group&a, const Group&b) { return *newcombe_corrected(a, b); },
          +[](const Group&a, const Group&b) { return *miettinen_nurminen(a, b); }}) {
      const Interval here = method(first, second);
      const Interval turned = method(second, first);
      CHECK(within(here.low, -turned.high, 1e-9));
      CHECK(within(here.high, -turned.low, 1e-9));
      CHECK(here.low <= difference(first, second) + 1e-9);
      CHECK(here.high >= difference(first, second) - 1e-9);
      CHECK(here.low >= -1 - 1e-9);
      CHECK(here.high <= 1 + 1e-9);
    }
  }
}

TEST_CASE("differences that cannot be") {
  CHECK(std::isnan(difference({5, 4}, {1, 2})));
  CHECK_FALSE(newcombe({5, 4}, {1, 2}));
  CHECK_FALSE(newcombe_corrected({1, 2}, {0, 0}));
  CHECK_FALSE(miettinen_nurminen({-1, 2}, {1, 2}));
  CHECK_FALSE(wald_difference({1, 2}, {1, 2}, 1));
}
