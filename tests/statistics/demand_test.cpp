#include "statistics/demand/demand.hpp"

#include <doctest/doctest.h>

#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/triangular.hpp>
#include <cmath>
#include <vector>

#include "statistics/beta_binomial.hpp"
#include "statistics/counts.hpp"

using namespace budwood::statistics;

namespace {

constexpr Reach everywhere{0, 1'000'000};

/// The chance of every number from 0 to `most`.
std::vector<double> chances(const Demand& demand) {
  std::vector<double> out;
  for (std::int64_t k = 0; k <= demand.most(); ++k) {
    out.push_back(demand.at_most(k) - demand.at_most(k - 1));
  }
  return out;
}

/// Every pair of plants that come and plants that are wanted, one after the other.
Met pair_by_pair(const Demand& demand, const std::vector<double>& coming) {
  const auto wanted = chances(demand);
  Met out;
  for (std::size_t x = 0; x < coming.size(); ++x) {
    for (std::size_t d = 0; d < wanted.size(); ++d) {
      const double chance = coming[x] * wanted[d];
      const auto come = static_cast<double>(x);
      const auto want = static_cast<double>(d);
      out.sold += chance * std::min(come, want);
      out.over += chance * std::max(0.0, come - want);
      out.lack += chance * std::max(0.0, want - come);
      out.enough += come >= want ? chance : 0;
    }
  }
  return out;
}

std::vector<double> binomial(std::int64_t n, double share) {
  const boost::math::binomial one(static_cast<double>(n), share);
  std::vector<double> out;
  for (std::int64_t x = 0; x <= n; ++x) {
    out.push_back(boost::math::pdf(one, static_cast<double>(x)));
  }
  return out;
}

Met met_by(const Demand& demand, const Counts& counts) {
  return met(demand, counts.mean(),
             {counts.quantile(1e-12).value_or(0), counts.quantile(1 - 1e-12).value_or(0)},
             [&](std::int64_t m) { return counts.at_least(m); });
}

/// The number that is best were it sure to be there: the quantile too_few / (too_few + too_many) of
/// the demand (Arrow, Harris and Marschak, Econometrica 19, 1951).
std::int64_t best_number(const Demand& demand, double too_many, double too_few) {
  std::int64_t out = demand.least();
  while (demand.at_most(out) < too_few / (too_few + too_many)) ++out;
  return out;
}

void check_same(const Met& one, const Met& other) {
  CHECK(one.sold == doctest::Approx(other.sold).epsilon(1e-9));
  CHECK(one.over == doctest::Approx(other.over).epsilon(1e-8));
  CHECK(one.lack == doctest::Approx(other.lack).epsilon(1e-8));
  CHECK(one.enough == doctest::Approx(other.enough).epsilon(1e-8));
}

}  // namespace

TEST_CASE("a demand lies between its least and its most, and adds up") {
  const Demand demand = *Demand::between(400, 500, 620);
  CHECK(demand.at_most(399) == 0);
  CHECK(demand.at_most(400) > 0);
  CHECK(demand.at_most(619) < 1);
  CHECK(demand.at_most(620) == 1);
  double mean = 0;
  double sum = 0;
  const auto all = chances(demand);
  for (std::size_t k = 0; k < all.size(); ++k) {
    sum += all[k];
    mean += all[k] * static_cast<double>(k);
  }
  CHECK(sum == doctest::Approx(1));
  CHECK(demand.mean() == doctest::Approx(mean));
  // That of the triangle is the mean of its corners.
  CHECK(mean == doctest::Approx((399.5 + 500 + 620.5) / 3).epsilon(1e-5));
  const Demand sure = *Demand::between(300, 300, 300);
  CHECK(sure.mean() == doctest::Approx(300));
  CHECK_FALSE(Demand::between(500, 400, 600));
  CHECK_FALSE(Demand::between(400, 500, 450));
  CHECK_FALSE(Demand::between(-1, 0, 5));
}

TEST_CASE("of numbers that are sure to be there the best is the quantile of the demand") {
  const Demand demand = *Demand::between(40, 50, 64);
  for (const auto& [too_many, too_few] : std::vector<std::pair<double, double>>{
           {0.8, 3.2}, {1, 1}, {5, 1}, {0, 2}, {2, 0}, {0.1, 9}}) {
    double least = 1e9;
    std::int64_t best = 0;
    for (std::int64_t number = 0; number <= 80; ++number) {
      const auto there = [&](std::int64_t m) { return m <= number ? 1.0 : 0.0; };
      const double cost =
          met(demand, static_cast<double>(number), everywhere, there).cost(too_many, too_few);
      if (cost < least - 1e-12) {
        least = cost;
        best = number;
      }
    }
    const std::int64_t found = best_number(demand, too_many, too_few);
    const auto there = [&](std::int64_t m) { return m <= found ? 1.0 : 0.0; };
    INFO(too_many << " " << too_few << " " << best);
    CHECK(met(demand, static_cast<double>(found), everywhere, there).cost(too_many, too_few) ==
          doctest::Approx(least));
  }
  // By the triangle itself: four fifths of it.
  const boost::math::triangular triangle(39.5, 50, 64.5);
  CHECK(std::abs(static_cast<double>(best_number(demand, 0.8, 3.2)) -
                 boost::math::quantile(triangle, 0.8)) < 1);
}

TEST_CASE("what is sold, over and lacking is that of every pair of numbers") {
  const Demand demand = *Demand::between(40, 55, 60);
  for (const std::int64_t start : {20, 60, 75, 130}) {
    const Counts counts = Counts::certain(start).thinned(*Rate::known(0.8));
    check_same(met_by(demand, counts), pair_by_pair(demand, binomial(start, 0.8)));
  }
  // Where the share rests on a count: beta-binomial, as everywhere.
  const Rate counted = *Rate::counted(41, 50);
  const Counts counts = Counts::certain(70).thinned(counted);
  std::vector<double> coming;
  for (std::int64_t x = 0; x <= 70; ++x) {
    coming.push_back(counts.at_least(x) - counts.at_least(x + 1));
  }
  check_same(met_by(demand, counts), pair_by_pair(demand, coming));
  // More scatter costs more, at the same mean.
  const Met known = met_by(demand, Counts::certain(70).thinned(*Rate::known(counted.mean())));
  CHECK(met_by(demand, counts).cost(0.8, 3.2) > known.cost(0.8, 3.2));
}

TEST_CASE("few plants are counted one by one however many can be wanted") {
  const Demand demand = *Demand::between(0, 5, 100'000);
  const Counts counts = Counts::certain(7).thinned(*Rate::known(0.85));
  const Met found = met_by(demand, counts);
  double sold = 0;
  for (std::int64_t x = 0; x < 7; ++x) sold += (1 - demand.at_most(x)) * counts.at_least(x + 1);
  CHECK(found.sold == doctest::Approx(sold));
  CHECK(found.sold > 5.9);
  CHECK(found.sold + found.lack == doctest::Approx((0 + 5 + 100'000) / 3.0).epsilon(1e-4));
}

TEST_CASE("large numbers in steps come close to number by number") {
  const Demand demand = *Demand::between(40'000, 50'000, 60'000);
  const double mean = 52'000;
  const auto there = [&](std::int64_t m) { return m <= 52'000 ? 1.0 : 0.0; };
  const Met coarse = met(demand, mean, everywhere, there);
  double sold = 0;
  for (std::int64_t x = 0; x < 52'000; ++x) sold += 1 - demand.at_most(x);
  CHECK(coarse.sold == doctest::Approx(sold).epsilon(1e-4));
}
