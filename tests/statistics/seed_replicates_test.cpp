#include "statistics/comparing/seed_replicates.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

using namespace budwood::statistics;

namespace {

/// Chance that k binomial counts of n seeds each, at a known share, lie further apart than t: the
/// sum over the smallest count. The program has no share that is known; the printed table is held
/// against this.
double chance_at_share(int k, int n, double share, int t) {
  std::vector<double> below{0};  // P(X < i)
  double ways = 1;
  for (int i = 0; i <= n; ++i) {
    below.push_back(below.back() + ways * std::pow(share, i) * std::pow(1 - share, n - i));
    ways *= static_cast<double>(n - i) / (i + 1);
  }
  double within = 0;
  for (int least = 0; least <= n; ++least) {
    const auto most = static_cast<std::size_t>(std::min(least + t, n)) + 1;
    within += std::pow(below[most] - below[static_cast<std::size_t>(least)], k) -
              std::pow(below[most] - below[static_cast<std::size_t>(least) + 1], k);
  }
  return 1 - within;
}

}  // namespace

TEST_CASE("four replicates of a hundred are judged by the printed table") {
  // RS-38, RS-40: 7 CFR 201.55, and for 90 to 99 % Table 5B of the ISTA rules, which has the same.
  const std::pair<int, int> rows[] = {{99, 5},  {98, 6},  {97, 7},  {96, 8},  {95, 9},  {92, 11},
                                      {90, 12}, {86, 14}, {84, 14}, {80, 16}, {78, 16}, {71, 18}};
  for (const auto& [mean, range] : rows) {
    INFO(mean);
    CHECK(tolerated_range(4, mean) == range);
    CHECK(tolerated_range(4, 101 - mean) == range);
  }
}

TEST_CASE("two replicates of a hundred have a column of their own") {
  // RS-39: 7 CFR 201.55; none above 97 %.
  const std::pair<int, int> rows[] = {{97, 6},  {95, 7},  {92, 9},  {90, 9},
                                      {87, 11}, {85, 11}, {83, 12}, {80, 13}};
  for (const auto& [mean, range] : rows) {
    INFO(mean);
    CHECK(tolerated_range(2, mean) == range);
  }
  CHECK(!tolerated_range(2, 98));
  CHECK(!tolerated_range(4, 100));
  CHECK(!tolerated_range(4, 50));
  CHECK(!tolerated_range(3, 90));
}

TEST_CASE("two tests differ no more than the regulation lets them") {
  // RS-43: 7 CFR 201.63.
  const std::pair<double, int> rows[] = {{97, 5}, {93, 6}, {85, 7}, {75, 8}, {65, 9}, {50, 10}};
  for (const auto& [mean, tolerance] : rows) {
    CHECK(tolerated_difference(mean) == tolerance);
    CHECK(tolerated_difference(mean, true) == tolerance + 2);
  }
}

TEST_CASE("a range by luck alone is as likely as an exact sum has it") {
  // RS-41, RS-42: sums over the smallest of four binomial counts of 100, and a simulation that
  // agrees to 0.0003; the printed table is no single level of them.
  CHECK(chance_at_share(4, 100, 0.90, 12) == doctest::Approx(0.0169).epsilon(0.005));
  CHECK(chance_at_share(4, 100, 0.84, 14) == doctest::Approx(0.0261).epsilon(0.005));
  CHECK(chance_at_share(4, 100, 0.86, 14) == doctest::Approx(0.0163).epsilon(0.005));
  CHECK(chance_at_share(4, 100, 0.99, 4) == doctest::Approx(0.0107).epsilon(0.005));
  CHECK(chance_at_share(4, 100, 0.99, 5) == doctest::Approx(0.0017).epsilon(0.03));
}

TEST_CASE("given how many germinated in all no share has to be guessed") {
  // RS-44: multivariate hypergeometric, exact rational sum; the effect is described in Seed Sci.
  // Technol. 46(2), 2018.
  CHECK(std::abs(chance_of_wider_range(4, 100, std::int64_t{380}, 8) - 0.02494) < 0.00002);
  CHECK(std::abs(chance_of_wider_range(4, 100, std::int64_t{380}, 9) - 0.00834) < 0.00002);
  CHECK(std::abs(chance_of_wider_range(4, 100, std::int64_t{360}, 12) - 0.01534) < 0.00002);
  CHECK(chance_of_wider_range(4, 100, std::int64_t{400}, 0) == 0);
  CHECK(chance_of_wider_range(4, 100, std::int64_t{0}, 0) == 0);
  // Two seeds of two replicates of two, of which two germinate: both in one, 2 ways of 6.
  CHECK(chance_of_wider_range(2, 2, std::int64_t{2}, 1) == doctest::Approx(1.0 / 3));
}

TEST_CASE("numbers of replicates that cannot be are refused") {
  CHECK(std::isnan(chance_of_wider_range(1, 100, std::int64_t{90}, 5)));
  CHECK(std::isnan(chance_of_wider_range(4, 100, std::int64_t{-1}, 5)));
  CHECK(std::isnan(chance_of_wider_range(4, 100, std::int64_t{401}, 5)));
  CHECK(std::isnan(chance_of_wider_range(4, 0, std::int64_t{0}, 5)));
}
