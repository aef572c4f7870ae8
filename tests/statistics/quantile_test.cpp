#include "statistics/spread/quantile.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <random>
#include <vector>

using namespace budwood::statistics;

namespace {

std::vector<double> one_to(int n) {
  std::vector<double> out;
  for (int i = 1; i <= n; ++i) out.push_back(i);
  return out;
}

}  // namespace

TEST_CASE("quantiles are those of definition 8 of Hyndman and Fan") {
  const auto ten = one_to(10);
  // R 4.2.2: quantile(1:10, c(0.05, 0.25, 0.5, 0.9), type = 8).
  CHECK(quantile_of(ten, 0.05)->value == doctest::Approx(1));
  CHECK(quantile_of(ten, 0.25)->value == doctest::Approx(2.916667));
  CHECK(quantile_of(ten, 0.5)->value == doctest::Approx(5.5));
  CHECK(quantile_of(ten, 0.9)->value == doctest::Approx(9.633333));
  const std::vector<double> one{7};
  CHECK(quantile_of(one, 0.3)->value == 7);
}

TEST_CASE("limits of a quantile stand where the binomial table has them") {
  // Of ten values the second and the ninth hold the median with 97.9 %, of six the first and the
  // last with 96.9 %; five are too few for 95 % (binomial table, p = 1/2).
  const auto ten = quantile_of(one_to(10), 0.5);
  CHECK(*ten->low == 2);
  CHECK(*ten->high == 9);
  const auto six = quantile_of(one_to(6), 0.5);
  CHECK(*six->low == 1);
  CHECK(*six->high == 6);
  const auto five = quantile_of(one_to(5), 0.5);
  CHECK(!five->low);
  CHECK(!five->high);
  // Below the 95th of a hundred only a few values in 59 can say where it ends: 0.95^59 > 0.025.
  CHECK(!quantile_of(one_to(59), 0.95)->high);
  CHECK(quantile_of(one_to(73), 0.95)->high);
}

TEST_CASE("limits of a median hold as often as they say, whatever the distribution") {
  std::mt19937 dice(5);
  std::exponential_distribution<double> length(1);
  const double median = 0.6931471806;
  for (const std::size_t n : {6U, 9U, 20U, 40U}) {
    int holds = 0;
    constexpr int seasons = 4000;
    for (int season = 0; season < seasons; ++season) {
      std::vector<double> days(n);
      for (double& one : days) one = length(dice);
      std::sort(days.begin(), days.end());
      const auto found = quantile_of(days, 0.5);
      if (*found->low <= median && median <= *found->high) ++holds;
    }
    CHECK(holds >= 0.94 * seasons);
  }
}

TEST_CASE("the next length lies between those seen as often as is said") {
  // Wilks 1941: of nine, eight in ten.
  CHECK(chance_between_extremes(9) == doctest::Approx(0.8));
  CHECK(chance_between_extremes(1) == 0);
  CHECK(chance_between_extremes(0) == 0);
}

TEST_CASE("quantiles that cannot be are refused") {
  CHECK(!quantile_of({}, 0.5));
  CHECK(!quantile_of(one_to(5), 0));
  CHECK(!quantile_of(one_to(5), 1));
  CHECK(!quantile_of(one_to(5), 0.5, 1));
  const std::vector<double> odd{1, std::numeric_limits<double>::infinity()};
  CHECK(!quantile_of(odd, 0.5));
}
