#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "exact_sums.hpp"
#include "statistics/spread/ratio.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

TEST_CASE("minutes a plant are sum over sum") {
  // RS-66: made-up jobs; R survey svyratio. The mean of the eight ratios, 1.338, is another number.
  const std::vector<Job> jobs = {{40, 52}, {96, 118}, {20, 31},   {60, 75},
                                 {80, 96}, {24, 40},  {128, 150}, {48, 64}};
  const auto ratio = ratio_of_sums(jobs);
  REQUIRE(ratio);
  CHECK(within(ratio->ratio, 1.2621, 0.0001));
  CHECK(within(ratio->error, 0.03795, 0.0001));
  CHECK(within(ratio->interval.low, 1.17236, 0.0001));
  CHECK(within(ratio->interval.high, 1.35183, 0.0001));
  double mean_of_ratios = 0;
  for (const Job& job : jobs) mean_of_ratios += job.y / job.x / 8;
  CHECK(within(mean_of_ratios, 1.33763, 0.0001));
}

TEST_CASE("volume over basal area") {
  // RS-65: Scheaffer, Mendenhall & Ott, ratio estimation exercise; R survey svyratio. The error is
  // the one with the mean x of the sample; with the known mean of 0.3 it is larger by 0.558 / 0.3.
  const std::vector<Job> trees = {{0.3, 6},  {0.5, 9}, {0.4, 7},  {0.9, 19}, {0.7, 15}, {0.2, 5},
                                  {0.6, 12}, {0.5, 9}, {0.8, 20}, {0.4, 9},  {0.8, 18}, {0.6, 13}};
  const auto ratio = ratio_of_sums(trees);
  CHECK(within(ratio->ratio, 21.19403, 0.001));
  CHECK(within(ratio->ratio * 75, 1589.55, 0.01));
  const double finite = std::sqrt(1 - 12.0 / 250);
  CHECK(within(ratio->error * finite, 0.66741, 0.03));
  const double with_known_mean = ratio->error * finite * (6.7 / 12) / 0.3 * 75;
  CHECK(within(with_known_mean, 93.159, 0.01));
}

TEST_CASE("learning curves of the average and of the unit are different curves") {
  // RS-60: Wright 1936 by an accounting text reads the curve as the average of all units so far:
  // 100 h and 80 % make four units in 4 * 64 = 256 h. The program's curve is Crawford's, of the
  // unit, which says 314.2 h. RS-61: coefficients of an operations textbook.
  const LearningCurve curve{100, 0.8};
  CHECK(within(curve.exponent(), -0.321928, 0.000001));
  const double averages[] = {100, 80, 64, 51.2, 40.96};
  for (int i = 0; i < 5; ++i) CHECK(within(curve.unit(1 << i), averages[i], 0.001));
  CHECK(within(curve.total(4), 314.2, 0.05));
  const long units[] = {2, 3, 4, 5, 10, 20};
  const double unit[3][6] = {{0.7, 0.568, 0.49, 0.437, 0.306, 0.214},
                             {0.8, 0.702, 0.64, 0.596, 0.477, 0.381},
                             {0.9, 0.846, 0.81, 0.783, 0.705, 0.634}};
  const double total[3][6] = {{1.7, 2.268, 2.758, 3.195, 4.932, 7.407},
                              {1.8, 2.502, 3.142, 3.738, 6.315, 10.485},
                              {1.9, 2.746, 3.556, 4.339, 7.994, 14.608}};
  const double rates[] = {0.7, 0.8, 0.9};
  for (int r = 0; r < 3; ++r) {
    for (int i = 0; i < 6; ++i) {
      CHECK(within(LearningCurve{1, rates[r]}.unit(units[i]), unit[r][i], 0.0006));
      CHECK(within(LearningCurve{1, rates[r]}.total(units[i]), total[r][i], 0.0006));
    }
  }
}

TEST_CASE("times of single units") {
  // RS-62: Stevenson, Operations Management (answers from memory, recomputed).
  CHECK(within(LearningCurve{300, 0.8}.unit(5), 178.69, 0.01));
  CHECK(within(LearningCurve{300, 0.8}.total(5), 1121.32, 0.01));
  CHECK(within(LearningCurve{300, 0.8}.total(18), 2914.85, 0.01));
  // RS-63: Kerzner, Project Management, Table 18-1, as quoted in a secondary text.
  CHECK(within(LearningCurve{812, 0.75}.unit(10), 312.26, 0.1));
  CHECK(within(LearningCurve{812, 0.75}.unit(250), 82.1, 0.1));
  CHECK(within(LearningCurve{812, 0.75}.total(250), 34171.7, 0.1));
  // RS-67: Heizer & Render, module E (answers from memory, recomputed).
  CHECK(within(LearningCurve{125000, 0.85}.unit(4), 90312.5, 0.5));
  CHECK(within(LearningCurve{125000, 0.85}.total(4), 418176.9, 0.5));
}

TEST_CASE("a curve from times") {
  // RS-64: exercise data; scipy linregress. RS-68: made-up times.
  const auto three = fit_learning_curve(std::vector<Job>{{1, 2500}, {2, 2250}, {3, 2120}});
  REQUIRE(three);
  CHECK(within(three->exponent(), -0.15028, 0.0001));
  CHECK(within(three->rate, 0.90107, 0.0001));
  CHECK(within(three->first, 2499.2, 0.05));
  const auto four = fit_learning_curve(std::vector<Job>{{1, 50}, {2, 41}, {4, 33}, {8, 27}});
  CHECK(within(four->exponent(), -0.29801, 0.0001));
  CHECK(within(four->rate, 0.81338, 0.0001));
  CHECK(within(four->first, 50.115, 0.005));
  CHECK_FALSE(fit_learning_curve(std::vector<Job>{{1, 50}}));
  CHECK_FALSE(fit_learning_curve(std::vector<Job>{{1, 50}, {2, 0}}));
  CHECK_FALSE(ratio_of_sums(std::vector<Job>{{1, 50}}));
  CHECK_FALSE(ratio_of_sums(std::vector<Job>{{0, 50}, {0, 3}}));
}
