#include "statistics/rate.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "exact_sums.hpp"
#include "statistics/beta_binomial.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

TEST_CASE("known rates multiply") {
  const Rate rate = *Rate::known(0.9) * *Rate::known(0.8);
  CHECK(rate.is_known());
  CHECK(within(rate.factor(), 0.72, 1e-15));
  CHECK(within(rate.mean(), 0.72, 1e-15));
  CHECK(rate.variance() == 0);
}

TEST_CASE("a rate from counts") {
  const auto jeffreys = Rate::counted(184, 200);
  REQUIRE(jeffreys);
  CHECK(jeffreys->uncertain() == BetaShape{184.5, 16.5});
  CHECK(within(jeffreys->mean(), 184.5 / 201, 1e-15));
  const auto uniform = Rate::counted(184, 200, Prior::uniform);
  CHECK(uniform->uncertain() == BetaShape{185, 17});
  // Laplace 1774: after x of n, the next is good with (x + 1) / (n + 2).
  CHECK(within(uniform->mean(), 185.0 / 202, 1e-15));
  CHECK(Rate::counted(0, 0)->mean() == 0.5);
  const Rate scaled = *Rate::known(0.5) * *jeffreys;
  CHECK(scaled.factor() == 0.5);
  CHECK(within(scaled.variance(), jeffreys->variance() / 4, 1e-15));
}

TEST_CASE("two rates from counts keep mean and variance of their product") {
  const Rate a = *Rate::counted(184, 200);
  const Rate b = *Rate::counted(45, 60);
  const Rate product = a * b;
  CHECK(within(product.mean(), a.mean() * b.mean(), 1e-12));
  const double second_moment =
      (a.variance() + a.mean() * a.mean()) * (b.variance() + b.mean() * b.mean());
  CHECK(within(product.variance(), second_moment - std::pow(a.mean() * b.mean(), 2), 1e-12));
}

TEST_CASE("the tails of a product are close to the beta distribution used") {
  // Conditioning on the second rate: 200 plants, at least 130 good, a fine grid of its
  // distribution.
  const Rate a = *Rate::counted(184, 200);
  const Rate b = *Rate::counted(45, 60);
  double weights = 0;
  double exact = 0;
  for (double share = 0.0005; share < 1; share += 0.001) {
    const double weight = std::exp(44.5 * std::log(share) + 14.5 * std::log1p(-share) + 30);
    weights += weight;
    exact += weight * predicted_at_least(200, 130, *Rate::known(share) * a);
  }
  CHECK(within(predicted_at_least(200, 130, a * b), exact / weights, 0.002));
}

TEST_CASE("rates that cannot be") {
  CHECK_FALSE(Rate::known(-0.1));
  CHECK_FALSE(Rate::known(1.1));
  CHECK_FALSE(Rate::known(std::numeric_limits<double>::quiet_NaN()));
  CHECK_FALSE(Rate::counted(201, 200));
  CHECK_FALSE(Rate::counted(-1, 200));
}

TEST_CASE("the rate of the next batch: how batches differ, and how well their mean is known") {
  // With a mean that is known it is the plain beta; with a count and no likeness the count alone.
  CHECK(*Rate::scattered(0.8, 0.02, 0, 0)->uncertain() == *Rate::scattered(0.8, 0.02)->uncertain());
  CHECK(Rate::scattered(0.8, 0, 500, 5)->is_known());
  // Variances by hand: between batches p q rho, of the mean p q / (plants of their own + 2).
  const double between = 0.8 * 0.2 * 0.02;
  const double worth = 500 / (1 + 99 * 0.02);
  const double of_mean = 0.8 * 0.2 / (worth + 2);
  const auto rate = Rate::scattered(0.8, 0.02, 500, 5);
  CHECK(within(rate->mean(), 0.8, 1e-12));
  CHECK(within(rate->variance(), between + of_mean - 0.02 * of_mean, 1e-9));
  // The same plants in more batches teach more of the mean, and one batch next to nothing.
  CHECK(Rate::scattered(0.8, 0.02, 500, 50)->variance() < rate->variance());
  CHECK(Rate::scattered(0.8, 0.02, 500, 1)->variance() > rate->variance());
  // Endless counts leave what batches differ by.
  CHECK(within(Rate::scattered(0.8, 0.02, 1e9, 1e7)->variance(), between, 1e-5));
  CHECK_FALSE(Rate::scattered(0.8, 0.02, -1, 0));
  CHECK_FALSE(Rate::scattered(0.8, 1, 500, 5));
}
