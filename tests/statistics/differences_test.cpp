#include "statistics/differences.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "interval_check.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

// Figures of Newcombe 1998, Stat. Med. 17:873-890, Table II.

TEST_CASE("from the limits of both groups, method 10") {
  CHECK(within(difference({56, 70}, {48, 80}), 0.2, 1e-12));
  check(newcombe({56, 70}, {48, 80}), 0.0524, 0.3339);
  check(newcombe({9, 10}, {3, 10}), 0.1705, 0.8090);
  check(newcombe({10, 10}, {0, 10}), 0.6075, 1.0);
}

TEST_CASE("exchanging the groups turns the sign") {
  for (const auto& [first, second] : {std::pair{Group{9, 10}, Group{3, 10}},
                                      {Group{0, 12}, Group{5, 7}},
                                      {Group{8, 8}, Group{8, 8}}}) {
    const Interval here = *newcombe(first, second);
    const Interval turned = *newcombe(second, first);
    CHECK(within(here.low, -turned.high, 1e-9));
    CHECK(within(here.high, -turned.low, 1e-9));
    CHECK(here.low <= difference(first, second) + 1e-9);
    CHECK(here.high >= difference(first, second) - 1e-9);
    CHECK(here.low >= -1 - 1e-9);
    CHECK(here.high <= 1 + 1e-9);
  }
}

TEST_CASE("differences that cannot be") {
  CHECK(std::isnan(difference({5, 4}, {1, 2})));
  CHECK_FALSE(newcombe({5, 4}, {1, 2}));
  CHECK_FALSE(newcombe({1, 2}, {0, 0}));
  CHECK_FALSE(newcombe({-1, 2}, {1, 2}));
  CHECK_FALSE(newcombe({1, 2}, {1, 2}, 1));
}
