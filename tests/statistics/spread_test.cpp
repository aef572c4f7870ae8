#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <random>
#include <vector>

#include "exact_sums.hpp"
#include "moments.hpp"
#include "plates.hpp"
#include "statistics/assurance.hpp"
#include "statistics/beta_binomial.hpp"
#include "statistics/binomial.hpp"
#include "statistics/spread/beta_binomial_fit.hpp"
#include "statistics/spread/posterior.hpp"
#include "statistics/spread/scatter.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

namespace {

/// The four sets of plates in the order of plates.hpp.
const std::array<std::vector<Group>, 4> orobanche = {o75_bean, o75_cucumber, o73_bean,
                                                     o73_cucumber};

/// 70 groups of rats, tumours of animals (Tarone 1982, Biometrics 38:215-220, as in Gelman et al.,
/// Bayesian Data Analysis, ch. 5).
std::vector<Group> rat_tumours() {
  const std::vector<int> n = {20, 20, 20, 20, 20, 20, 20, 19, 19, 19, 19, 18, 18, 17,
                              20, 20, 20, 20, 19, 19, 18, 18, 25, 24, 23, 20, 20, 20,
                              20, 20, 20, 10, 49, 19, 46, 27, 17, 49, 47, 20, 20, 13,
                              48, 50, 20, 20, 20, 20, 20, 20, 20, 48, 19, 19, 19, 22,
                              46, 49, 20, 20, 23, 19, 22, 20, 20, 20, 52, 46, 47, 24};
  const std::vector<int> y = {0, 0, 0,  0,  0, 0, 0, 0,  0, 0, 0, 0, 0,  0,  1,  1,  1, 1,
                              1, 1, 1,  1,  2, 2, 2, 2,  2, 2, 2, 2, 2,  1,  5,  2,  5, 3,
                              2, 7, 7,  3,  3, 2, 9, 10, 4, 4, 4, 4, 4,  4,  4,  10, 4, 4,
                              4, 5, 11, 12, 5, 5, 6, 5,  6, 6, 6, 6, 16, 15, 15, 9};
  std::vector<Group> groups;
  for (std::size_t i = 0; i < n.size(); ++i) groups.push_back({y[i], n[i]});
  return groups;
}

}  // namespace

TEST_CASE("Orobanche: plates added up") {
  // RS-01: totals of Crowder's table.
  CHECK(all_of(o75_bean).good == 99);
  CHECK(all_of(o75_bean).of == 272);
  CHECK(all_of(o75_cucumber).good == 201);
  CHECK(all_of(o75_cucumber).of == 295);
  CHECK(all_of(o73_bean).good == 49);
  CHECK(all_of(o73_bean).of == 123);
  CHECK(all_of(o73_cucumber).good == 75);
  CHECK(all_of(o73_cucumber).of == 141);
}

TEST_CASE("Orobanche: likeness within a plate by moments") {
  // RS-03: R 4.2.2, formulas in Ridout, Demetrio & Firth 1999. RS-04: Tarone 1979. RS-20: Rao &
  // Scott 1992.
  const double anova[] = {0.02712, 0.01334, 0.04146, 0.02073};
  const double fleiss[] = {0.01783, 0.00702, 0.02319, 0.00828};
  const double z[] = {1.4595, 1.1426, 0.7219, 0.0610};
  const double p[] = {0.0722, 0.1266, 0.2352, 0.4757};
  const double error[] = {0.04558, 0.03946, 0.06076, 0.04801};
  const double effect[] = {2.4414, 2.1158, 1.8944, 1.3054};
  for (std::size_t i = 0; i < 4; ++i) {
    CAPTURE(i);
    CHECK(within(likeness_anova(orobanche[i]), anova[i], 0.00002));
    CHECK(within(likeness_fleiss_cuzick(orobanche[i]), fleiss[i], 0.00002));
    CHECK(within(tarone_test(orobanche[i])->z, z[i], 0.0001));
    CHECK(within(tarone_test(orobanche[i])->p, p[i], 0.0001));
    CHECK(within(std::sqrt(*share_variance(orobanche[i])), error[i], 0.0001));
    CHECK(within(*design_effect(orobanche[i]), effect[i], 0.0001));
  }
}

TEST_CASE("Orobanche: beta-binomial by maximum likelihood") {
  // RS-02: R 4.2.2 with VGAM 1.1-7 vglm(cbind(y, n - y) ~ 1, betabinomial).
  const double mean[] = {0.36867, 0.68474, 0.38901, 0.52954};
  const double rho[] = {0.01732, 0.00979, 0.01627, 0.00192};
  const double likelihoods[] = {-14.94352, -14.99079, -11.83194, -11.89989};
  for (std::size_t i = 0; i < 4; ++i) {
    CAPTURE(i);
    const auto fit = fit_beta_binomial(orobanche[i]);
    REQUIRE(fit);
    CHECK(within(fit->means[0], mean[i], 0.00002));
    CHECK(within(fit->rho, rho[i], 0.00002));
    CHECK(within(fit->log_likelihood, likelihoods[i], 0.00002));
    // Written out with log-gamma functions, and no larger a little to either side.
    const double top = log_likelihood(orobanche[i], fit->means[0], fit->rho);
    CHECK(within(fit->log_likelihood, top, 1e-8));
    CHECK(log_likelihood(orobanche[i], fit->means[0] + 0.002, fit->rho) < top);
    CHECK(log_likelihood(orobanche[i], fit->means[0] - 0.002, fit->rho) < top);
    CHECK(log_likelihood(orobanche[i], fit->means[0], fit->rho + 0.001) < top);
    CHECK(log_likelihood(orobanche[i], fit->means[0], fit->rho - 0.001) < top);
  }
  // RS-05: one rho for all; glmmTMB 1.1.5 glmmTMB(cbind(y, n - y) ~ seed * root, betabinomial).
  const auto common = fit_beta_binomial(std::span<const std::vector<Group>>(orobanche));
  REQUIRE(common);
  CHECK(within(common->means[0], 0.36773, 0.0002));
  CHECK(within(common->means[1], 0.68527, 0.0002));
  CHECK(within(common->means[2], 0.39066, 0.0002));
  CHECK(within(common->means[3], 0.51939, 0.0002));
  CHECK(within(common->rho, 0.01236, 0.0002));
  CHECK(within(common->log_likelihood, -53.76676, 0.001));
}

TEST_CASE("the next plate") {
  // RS-12: quantiles of R VGAM 1.1-7 pbetabinom.ab; plug-in, so narrower than the truth.
  const auto next = Rate::scattered(0.3686732, 0.017324);
  REQUIRE(next);
  const double deviation =
      std::sqrt(50 * next->mean() * (1 - next->mean()) + 50.0 * 49 * next->variance());
  CHECK(within(deviation, 4.6386, 0.0005));
  CHECK(predicted_quantile(50, *next, 0.025) == 10);
  CHECK(predicted_quantile(50, *next, 0.05) == 11);
  CHECK(predicted_quantile(50, *next, 0.95) == 26);
  CHECK(predicted_quantile(50, *next, 0.975) == 28);
  CHECK(within(predicted_fewer_than(50, 29, *next) - predicted_fewer_than(50, 10, *next), 0.9608,
               0.00005));
  CHECK(binomial_quantile(50, 0.3686732, 0.025) == 12);
  CHECK(binomial_quantile(50, 0.3686732, 0.975) == 25);
}

TEST_CASE("dishes of seeds, litters") {
  // RS-13, RS-14: Mead, Curnow & Hasted 2002, p. 350-351 (R agridat::mead.germination), four dishes
  // of 50; R VGAM.
  const std::vector<Group> untreated = {{19, 50}, {30, 50}, {21, 50}, {29, 50}};
  CHECK(within(likeness_anova(untreated), 0.02946, 0.0002));
  CHECK(within(likeness_fleiss_cuzick(untreated), 0.01745, 0.0002));
  CHECK(within(tarone_test(untreated)->z, 1.2217, 0.0002));
  CHECK(within(tarone_test(untreated)->p, 0.1109, 0.0002));
  CHECK(within(*design_effect(untreated), 2.4736, 0.0002));
  CHECK(within(fit_beta_binomial(untreated)->means[0], 0.49499, 0.0002));
  CHECK(within(fit_beta_binomial(untreated)->rho, 0.01718, 0.0002));
  // Less than binomial scatter: no scatter is told, never one below 0.
  const std::vector<Group> alike = {{13, 50}, {12, 50}, {14, 50}, {15, 50}};
  CHECK(within(likeness_anova(alike), -0.01696, 0.0002));
  CHECK(within(*design_effect(alike), 0.1691, 0.0002));
  CHECK(within(tarone_test(alike)->z, -1.2474, 0.0002));
  CHECK(fit_beta_binomial(alike)->rho == 0);
  CHECK(within(fit_beta_binomial(alike)->means[0], 0.27, 1e-9));
  // RS-16: Weil 1970; R VGAM. Scatter can differ much between two treatments.
  CHECK(within(fit_beta_binomial(control_litters)->means[0], 0.89798, 0.0003));
  CHECK(within(fit_beta_binomial(control_litters)->rho, 0.0202, 0.0003));
  CHECK(within(fit_beta_binomial(treated_litters)->means[0], 0.74001, 0.0003));
  CHECK(within(fit_beta_binomial(treated_litters)->rho, 0.31744, 0.0003));
  CHECK(within(likeness_anova(control_litters), 0.02909, 0.0003));
  CHECK(within(likeness_anova(treated_litters), 0.37213, 0.0003));
  CHECK(within(*design_effect(control_litters), 1.2325, 0.0003));
  CHECK(within(*design_effect(treated_litters), 3.9529, 0.0003));
  CHECK(within(tarone_test(control_litters)->z, 0.4512, 0.0003));
  CHECK(within(tarone_test(treated_litters)->z, 7.9297, 0.0003));
  // RS-37: Kerry & Bland 1998, BMJ 316:1455; between 0.0046, within 1.28.
  const double likeness = 0.0046 / (0.0046 + 1.28);
  CHECK(within(likeness, 0.0036, 0.00005));
  CHECK(within(planned_design_effect(50, likeness), 1.18, 0.005));
  CHECK(within(planned_design_effect(100, likeness), 1.35, 0.005));
  CHECK(within(planned_design_effect(500, likeness), 2.79, 0.005));
  CHECK(planned_design_effect(24, -0.01) == 1);
}

TEST_CASE("seventy earlier batches") {
  const auto groups = rat_tumours();
  CHECK(all_of(groups).good == 263);
  CHECK(all_of(groups).of == 1725);
  // RS-45: by moments (from memory, recomputed). RS-46: R package BayesGOF vignette.
  const BetaShape moments = shape_by_moments(groups);
  CHECK(within(moments.alpha, 1.3561, 0.0002));
  CHECK(within(moments.beta, 8.6151, 0.0002));
  const auto fit = fit_beta_binomial(groups);
  const auto learned = Rate::scattered(fit->means[0], fit->rho);
  CHECK(within(fit->means[0], 0.14067, 0.00005));
  CHECK(within(fit->rho, 0.05753, 0.00005));
  CHECK(within(learned->uncertain()->alpha, 2.3048, 0.001));
  CHECK(within(learned->uncertain()->beta, 14.0797, 0.005));
  // RS-47: Tarone 1982 in Gelman et al. (from memory): 4 of 14 on top of the moments.
  const BetaShape after{moments.alpha + 4, moments.beta + 10};
  CHECK(within(after.alpha, 5.356, 0.0005));
  CHECK(within(after.beta, 18.615, 0.0005));
  // RS-48: R VGAM 1.1-7 pbetabinom.ab; the next 20 after beta(5.4, 18.6).
  const auto next = Rate::scattered(5.4 / 24, 1.0 / 25);
  CHECK(within(beta_binomial_exactly(20, 0, *next->uncertain()), 0.02602, 0.00002));
  CHECK(within(predicted_fewer_than(20, 10, *next) - predicted_fewer_than(20, 1, *next), 0.93969,
               0.00002));
  CHECK(predicted_quantile(20, *next, 0.025) == 0);
  CHECK(predicted_quantile(20, *next, 0.05) == 1);
  CHECK(predicted_quantile(20, *next, 0.95) == 9);
  CHECK(predicted_quantile(20, *next, 0.975) == 10);
}

TEST_CASE("how many to start where batches scatter") {
  // RS-49: R VGAM 1.1-7 pbetabinom.ab.
  const auto usual = *Rate::scattered(0.8, 0.02);
  CHECK(usual.uncertain()->alpha == doctest::Approx(39.2));
  CHECK(usual.uncertain()->beta == doctest::Approx(9.8));
  CHECK(predicted_quantile(100, usual, 0.025) == 65);
  CHECK(predicted_quantile(100, usual, 0.05) == 68);
  CHECK(predicted_quantile(100, usual, 0.95) == 90);
  CHECK(predicted_quantile(100, usual, 0.975) == 92);
  // RS-50 to RS-55 and RS-59: exact sums, numeric integration, R VGAM. The plain answer is far from
  // as sure as it says.
  struct Row {
    int need;
    double mean, rho, assurance;
    int starts;
    double with_starts, with_one_less;
    int plain;
    double plain_is;
  };
  const Row rows[] = {{100, 0.8, 0.02, 0.90, 140, 0.9043, 0.8923, 132, 0.7669},
                      {100, 0.8, 0.02, 0.95, 146, 0.9541, 0.9479, 135, 0.8306},
                      {500, 0.8, 0.02, 0.90, 692, 0.9010, 0.8983, 641, 0.6596},
                      {500, 0.8, 0.02, 0.95, 717, 0.9505, 0.9490, 646, 0.6941},
                      {100, 0.9, 0.05, 0.95, 131, 0.9513, 0.9459, 117, 0.7852},
                      {500, 0.9, 0.05, 0.95, 651, 0.9509, 0.9498, 569, 0.6908},
                      {500, 0.7, 0.01, 0.90, 785, 0.9010, 0.8983, 737, 0.6830}};
  for (const Row& row : rows) {
    CAPTURE(row.starts);
    const auto rate = *Rate::scattered(row.mean, row.rho);
    CHECK(smallest_start(row.need, rate, row.assurance) == row.starts);
    CHECK(within(predicted_at_least(row.starts, row.need, rate), row.with_starts, 0.00005));
    CHECK(within(predicted_at_least(row.starts - 1, row.need, rate), row.with_one_less, 0.00006));
    CHECK(smallest_start(row.need, row.mean, row.assurance) == row.plain);
    CHECK(within(predicted_at_least(row.plain, row.need, rate), row.plain_is, 0.00005));
  }
}

TEST_CASE("trays whose luck is independent average out, batches do not") {
  // RS-56: convolution of beta-binomials, own Python and R; trays of 24, mean 80 %, rho 0.02.
  const auto shape = *Rate::scattered(0.8, 0.02)->uncertain();
  std::vector<double> sum{1};
  std::vector<double> at_least_100;
  for (int tray = 1; tray <= 6; ++tray) {
    std::vector<double> next(sum.size() + 24, 0);
    for (std::size_t i = 0; i < sum.size(); ++i) {
      for (int k = 0; k <= 24; ++k) {
        next[i + static_cast<std::size_t>(k)] += sum[i] * beta_binomial_exactly(24, k, shape);
      }
    }
    sum = next;
    double tail = 0;
    for (std::size_t i = 100; i < sum.size(); ++i) tail += sum[i];
    at_least_100.push_back(tail);
  }
  CHECK(within(at_least_100[5], 0.9945, 0.0001));
  CHECK(within(at_least_100[4], 0.2614, 0.0001));
}

TEST_CASE("what is taken for granted and some batches") {
  // RS-57: beta(16, 4), 42 of 60 took; own Python, R VGAM. How many more of the same batch.
  const auto posterior = *Rate::scattered(58.0 / 80, 1.0 / 81);
  CHECK(within(posterior.uncertain()->alpha, 58, 1e-9));
  CHECK(smallest_start(100 - 42, posterior, 0.95) == 95);
  CHECK(smallest_start(100 - 42, posterior, 0.90) == 91);
  CHECK(within(predicted_at_least(95, 58, posterior), 0.9560, 0.0001));
  CHECK(within(predicted_at_least(94, 58, posterior), 0.9470, 0.0001));
  CHECK(smallest_start(58, 0.7, 0.95) == 93);
  CHECK(within(predicted_at_least(93, 58, posterior), 0.9363, 0.0001));
  // RS-58: three batches that scatter with rho 0.02; Python grid, R integrate.
  const std::vector<Group> batches = {{30, 50}, {41, 50}, {36, 50}};
  const auto learned = posterior_mean({16, 4}, batches, 0.02);
  REQUIRE(learned);
  CHECK(within(learned->mean, 0.73258, 0.0003));
  CHECK(within(learned->deviation, 0.04554, 0.0003));
  CHECK(within(learned->interval.low, 0.6398, 0.0003));
  CHECK(within(learned->interval.high, 0.8179, 0.0003));
  const auto plain = posterior_mean({16, 4}, batches, 0);
  CHECK(within(plain->mean, 0.72353, 0.0003));
  CHECK(within(plain->interval.low, 0.6541, 0.0003));
  CHECK(within(plain->interval.high, 0.7880, 0.0003));
}

TEST_CASE("simulated batches: the fit finds the truth") {
  std::mt19937_64 random(7);
  std::gamma_distribution<double> alpha(0.8 * 24);
  std::gamma_distribution<double> beta(0.2 * 24);  // rho 1 / 25
  std::vector<Group> batches;
  for (int i = 0; i < 2000; ++i) {
    const double a = alpha(random);
    const double share = a / (a + beta(random));
    std::binomial_distribution<int> good(60 + i % 40, share);
    batches.push_back({good(random), 60 + i % 40});
  }
  const auto fit = fit_beta_binomial(batches);
  CHECK(within(fit->means[0], 0.8, 0.006));
  CHECK(within(fit->rho, 0.04, 0.005));
  CHECK(within(likeness_anova(batches), fit->rho, 0.003));
  CHECK(within(fit->log_likelihood, log_likelihood(batches, fit->means[0], fit->rho), 1e-6));
}

TEST_CASE("simulated trays: intervals cover the truth about as often as they say") {
  // Ten trays of 24 whose shares scatter around 70 % with a likeness of 0.05: 95 % intervals, 2000
  // times. Wilson's of the plants added up would cover far less often.
  std::mt19937_64 random(5);
  std::gamma_distribution<double> alpha(0.7 * 19);
  std::gamma_distribution<double> beta(0.3 * 19);
  int covered = 0;
  int covered_plain = 0;
  constexpr int times = 2000;
  for (int i = 0; i < times; ++i) {
    std::vector<Group> trays;
    for (int tray = 0; tray < 10; ++tray) {
      const double a = alpha(random);
      const double share = a / (a + beta(random));
      trays.push_back({std::binomial_distribution<int>(24, share)(random), 24});
    }
    const auto interval = scattered_interval(trays);
    const Group all = all_of(trays);
    if (interval->low <= 0.7 && 0.7 <= interval->high) ++covered;
    const auto plain = wilson(all.good, all.of);
    if (plain->low <= 0.7 && 0.7 <= plain->high) ++covered_plain;
  }
  CHECK(covered >= 0.94 * times);
  CHECK(covered <= 0.985 * times);
  CHECK(covered_plain <= 0.88 * times);
  // One tray: Wilson's.
  const std::vector<Group> one = {{18, 24}};
  CHECK(scattered_interval(one)->low == wilson(18, 24)->low);
  CHECK_FALSE(scattered_interval(std::vector<Group>{{0, 0}}));
}

TEST_CASE("groups that say nothing, or cannot be") {
  const std::vector<Group> one = {{5, 10}};
  const std::vector<Group> none = {{0, 10}, {0, 12}};
  const std::vector<Group> all = {{10, 10}, {12, 12}};
  const std::vector<Group> impossible = {{11, 10}, {3, 12}};
  for (const auto& groups : {one, none, all, impossible, std::vector<Group>{}}) {
    CHECK_FALSE(tarone_test(groups));
    CHECK_FALSE(design_effect(groups));
  }
  CHECK(fit_beta_binomial(none)->means[0] == 0);
  CHECK(fit_beta_binomial(none)->rho == 0);
  CHECK(fit_beta_binomial(all)->means[0] == 1);
  CHECK(fit_beta_binomial(one)->means[0] == doctest::Approx(0.5));
  CHECK_FALSE(fit_beta_binomial(impossible));
  CHECK_FALSE(fit_beta_binomial(std::vector<Group>{{0, 0}}));
  CHECK_FALSE(posterior_mean({0.5, 4}, one, 0.02));
  CHECK_FALSE(posterior_mean({16, 4}, impossible, 0.02));
  CHECK_FALSE(Rate::scattered(0.5, 1));
  CHECK_FALSE(Rate::scattered(1.5, 0.1));
  CHECK(Rate::scattered(1, 0.1)->is_known());
  CHECK(Rate::scattered(0.5, 0)->is_known());
}

TEST_CASE(
    "dishes that scatter no more than a binomial: the deviances are those that were printed") {
  // RS-15: Mead, Curnow & Hasted 2002, Statistical Methods in Agriculture and Experimental
  // Biology, 3rd ed., p. 350-351 (R agridat::mead.germination): 4 temperatures, 4 concentrations, 4
  // dishes of 50. The help page prints the deviances of logistic models, of which these have a
  // share a cell.
  const double counts[4][4][4] = {
      {{9, 9, 3, 7}, {13, 12, 14, 15}, {21, 23, 24, 27}, {40, 32, 43, 34}},
      {{19, 30, 21, 29}, {33, 32, 30, 26}, {43, 40, 37, 41}, {48, 48, 49, 48}},
      {{7, 7, 2, 5}, {1, 2, 4, 4}, {8, 10, 6, 7}, {3, 4, 8, 5}},
      {{4, 9, 3, 7}, {13, 6, 15, 7}, {16, 13, 18, 19}, {13, 18, 11, 16}}};
  std::vector<std::vector<Group>> cells;
  std::vector<std::vector<Group>> temperatures(4);
  std::vector<std::vector<Group>> concentrations(4);
  std::vector<std::vector<Group>> all(1);
  double saturated = 0;
  for (std::size_t t = 0; t < 4; ++t) {
    for (std::size_t c = 0; c < 4; ++c) {
      cells.emplace_back();
      for (const double count : counts[t][c]) {
        const Group dish{static_cast<std::int64_t>(count), 50};
        for (auto* set : {&cells.back(), &temperatures[t], &concentrations[c], &all[0]}) {
          set->push_back(dish);
        }
        saturated += log_likelihood(std::vector<Group>{dish}, count / 50, 0);
      }
    }
  }
  const auto deviance = [&](const std::vector<std::vector<Group>>& sets) {
    double fitted = 0;
    for (const std::vector<Group>& set : sets) {
      const Group sum = all_of(set);
      const double share = static_cast<double>(sum.good) / static_cast<double>(sum.of);
      fitted += log_likelihood(set, share, 0);
    }
    return 2 * (saturated - fitted);
  };
  CHECK(std::abs(deviance(all) - 1193.80) < 0.01);
  CHECK(std::abs(deviance(temperatures) - 430.11) < 0.01);
  CHECK(std::abs(deviance(concentrations) - 980.10) < 0.01);
  CHECK(std::abs(deviance(cells) - 55.64) < 0.01);
  // No more scatter than luck has: two seeds of a dish are next to not alike.
  CHECK(fit_beta_binomial(std::span<const std::vector<Group>>(cells))->rho < 0.01);
}
