#include "statistics/comparing/seed_replicates.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <utility>

using namespace budwood::statistics;

TEST_CASE("four replicates of a hundred are judged by the printed table") {
  // 7 CFR 201.55, and for 90 to 99 % Table 5B of the ISTA rules, which has the same.
  const std::pair<int, int> rows[] = {{99, 5},  {98, 6},  {97, 7},  {96, 8},  {95, 9},  {92, 11},
                                      {90, 12}, {86, 14}, {84, 14}, {80, 16}, {78, 16}, {71, 18}};
  for (const auto& [mean, range] : rows) {
    INFO(mean);
    CHECK(tolerated_range(4, mean) == range);
    CHECK(tolerated_range(4, 101 - mean) == range);
  }
}

TEST_CASE("two replicates of a hundred have a column of their own") {
  // 7 CFR 201.55; none above 97 %.
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
  // 7 CFR 201.63.
  const std::pair<double, int> rows[] = {{97, 5}, {93, 6}, {85, 7}, {75, 8}, {65, 9}, {50, 10}};
  for (const auto& [mean, tolerance] : rows) {
    CHECK(tolerated_difference(mean) == tolerance);
    CHECK(tolerated_difference(mean, true) == tolerance + 2);
  }
}

TEST_CASE("a range by luck alone is as likely as an exact sum has it") {
  // Sums over the smallest of four binomial counts of 100, and a simulation that agrees to 0.0003;
  // the printed table is no single level of them.
  CHECK(chance_of_wider_range(4, 100, 0.90, 12) == doctest::Approx(0.0169).epsilon(0.005));
  CHECK(chance_of_wider_range(4, 100, 0.84, 14) == doctest::Approx(0.0261).epsilon(0.005));
  CHECK(chance_of_wider_range(4, 100, 0.86, 14) == doctest::Approx(0.0163).epsilon(0.005));
  CHECK(chance_of_wider_range(4, 100, 0.99, 4) == doctest::Approx(0.0107).epsilon(0.005));
  CHECK(chance_of_wider_range(4, 100, 0.99, 5) == doctest::Approx(0.0017).epsilon(0.03));
}

TEST_CASE("given how many germinated in all no share has to be guessed") {
  // Multivariate hypergeometric, exact rational sum; the effect is described in Seed Sci. Technol.
  // 46(2), 2018.
  CHECK(std::abs(chance_of_wider_range(4, 100, std::int64_t{380}, 8) - 0.02494) < 0.00002);
  CHECK(std::abs(chance_of_wider_range(4, 100, std::int64_t{380}, 9) - 0.00834) < 0.00002);
  CHECK(std::abs(chance_of_wider_range(4, 100, std::int64_t{360}, 12) - 0.01534) < 0.00002);
  CHECK(chance_of_wider_range(4, 100, std::int64_t{400}, 0) == 0);
  CHECK(chance_of_wider_range(4, 100, std::int64_t{0}, 0) == 0);
  // Two seeds of two replicates of two, of which two germinate: both in one, 2 ways of 6.
  CHECK(chance_of_wider_range(2, 2, std::int64_t{2}, 1) == doctest::Approx(1.0 / 3));
}

TEST_CASE("numbers of replicates that cannot be are refused") {
  CHECK(std::isnan(chance_of_wider_range(1, 100, 0.9, 5)));
  CHECK(std::isnan(chance_of_wider_range(4, 100, 1.5, 5)));
  CHECK(std::isnan(chance_of_wider_range(4, 100, std::int64_t{401}, 5)));
  CHECK(std::isnan(chance_of_wider_range(4, 0, 0.9, 5)));
}
