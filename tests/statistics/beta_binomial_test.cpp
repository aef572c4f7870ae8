#include "statistics/beta_binomial.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "exact_sums.hpp"
#include "statistics/binomial.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

TEST_CASE("families of twelve in Saxony") {
  // Geissler's data as fitted in Lindsey & Altham 1998: 6115 families, alpha 34.1350, beta 31.6085.
  const BetaShape shape{34.1350, 31.6085};
  const double expected[] = {2.3,    22.6,  104.8, 310.9, 655.7, 1036.2, 1257.9,
                             1182.1, 853.6, 461.9, 177.9, 43.8,  5.2};
  for (int k = 0; k <= 12; ++k) {
    CAPTURE(k);
    CHECK(within(6115 * beta_binomial_exactly(12, k, shape), expected[k], 0.3));
  }
  // The plain binomial puts 1367.3 at 6: scatter between families flattens the middle.
  const double share = shape.alpha / (shape.alpha + shape.beta);
  CHECK(within(6115 * binomial_exactly(12, 6, share), 1367.3, 0.3));
}

TEST_CASE("summed tails agree with adding up every term") {
  for (const std::int64_t n : {1, 2, 7, 40, 125, 1000, 30000}) {
    for (const auto& [good, seen] : {std::pair{0, 0}, {0, 20}, {20, 20}, {3, 4}, {184, 200}}) {
      const Rate rate = *Rate::counted(good, seen);
      for (const double part : {0.0, 0.1, 0.5, 0.85, 0.9, 0.95, 1.0}) {
        const auto m = static_cast<std::int64_t>(std::ceil(part * static_cast<double>(n)));
        const ExactTails exact = beta_binomial_tails(n, m, good + 0.5, seen - good + 0.5);
        CAPTURE(n);
        CAPTURE(m);
        CAPTURE(good);
        CHECK(within(predicted_at_least(n, m, rate), static_cast<double>(exact.at_least), 1e-10));
        CHECK(within(predicted_fewer_than(n, m, rate), static_cast<double>(exact.below), 1e-10));
      }
    }
  }
}

TEST_CASE("large numbers go through quadrature and stay exact") {
  for (const std::int64_t n : {200'000, 3'000'000}) {
    for (const auto& [good, seen] : {std::pair{184, 200}, {199, 200}, {200, 200}, {1900, 2000}}) {
      for (const double z : {-2.0, -1.0, 0.0, 1.0}) {
        const Rate rate = *Rate::counted(good, seen);
        const double share = rate.mean() + z * std::sqrt(rate.variance());
        const auto m = std::min(n, static_cast<std::int64_t>(share * static_cast<double>(n)));
        const ExactTails exact = beta_binomial_tails(n, m, good + 0.5, seen - good + 0.5);
        CAPTURE(n);
        CAPTURE(m);
        CAPTURE(good);
        CHECK(within(predicted_at_least(n, m, rate), static_cast<double>(exact.at_least), 1e-9));
      }
    }
  }
}

TEST_CASE("a known factor before a rate from counts") {
  // Thinning first by the one, then by the other, added up over what the first leaves.
  for (const int n : {5, 40, 300}) {
    for (const auto& [good, seen] : {std::pair{184, 200}, {20, 20}, {7, 10}}) {
      for (const double factor : {0.5, 0.9, 0.999}) {
        const Rate rate = *Rate::counted(good, seen);
        const auto m = static_cast<std::int64_t>(factor * rate.mean() * n * 0.95);
        const auto first = binomial_probabilities(n, factor);
        double exact = 0;
        for (int x = 0; x <= n; ++x) {
          exact += first[static_cast<std::size_t>(x)] * predicted_at_least(x, m, rate);
        }
        CAPTURE(n);
        CAPTURE(good);
        CAPTURE(factor);
        CHECK(within(predicted_at_least(n, m, *Rate::known(factor) * rate), exact, 1e-8));
      }
    }
  }
}

TEST_CASE("much evidence is as good as knowing") {
  const Rate rate = *Rate::counted(850'000'000'000, 1'000'000'000'000);
  CHECK(within(predicted_at_least(125, 100, rate), binomial_at_least(125, 100, 0.85), 1e-6));
}

TEST_CASE("quantiles of a prediction") {
  const Rate rate = *Rate::counted(46, 50);
  for (const std::int64_t n : {1, 10, 200, 5000}) {
    for (const double share : {0.05, 0.5, 0.95}) {
      const auto k = predicted_quantile(n, rate, share);
      REQUIRE(k);
      CHECK(1 - predicted_at_least(n, *k + 1, rate) >= share - 1e-9);
      if (*k > 0) CHECK(1 - predicted_at_least(n, *k, rate) < share);
    }
  }
  CHECK_FALSE(predicted_quantile(10, rate, 1));
  CHECK(predicted_quantile(20, *Rate::known(0.5), 0.5) == 10);
}

TEST_CASE("predictions that cannot be") {
  CHECK(std::isnan(predicted_at_least(-1, 0, *Rate::counted(1, 2))));
  CHECK(std::isnan(beta_binomial_exactly(5, 2, {0, 1})));
  CHECK(beta_binomial_exactly(5, 6, {1, 1}) == 0);
  CHECK(predicted_at_least(5, 6, *Rate::counted(1, 2)) == 0);
  CHECK(predicted_at_least(5, 0, *Rate::counted(1, 2)) == 1);
  CHECK(predicted_at_least(5, 1, *Rate::known(0)) == 0);
}
