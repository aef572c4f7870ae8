#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "exact_sums.hpp"
#include "plates.hpp"
#include "statistics/binomial.hpp"
#include "statistics/comparing/groups_compared.hpp"
#include "statistics/comparing/looks.hpp"
#include "statistics/comparing/strata.hpp"
#include "statistics/fisher.hpp"
#include "statistics/normal.hpp"
#include "statistics/sample_size.hpp"
#include "statistics/spread/scatter.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

namespace {

using Trays = std::vector<std::vector<Group>>;

/// The plants of each, trays ignored.
std::vector<Group> added_up(const Trays& all) {
  std::vector<Group> out;
  for (const auto& trays : all) out.push_back(all_of(trays));
  return out;
}

/// The mean share of trays, each counting once.
Estimate of_shares(const std::vector<Group>& trays) {
  std::vector<double> shares;
  for (const Group& g : trays) {
    shares.push_back(static_cast<double>(g.good) / static_cast<double>(g.of));
  }
  return *mean_of(shares);
}

/// [good first, bad first, good second, bad second] of each stratum.
std::vector<Stratum> strata_of(const std::vector<std::array<int, 4>>& tables) {
  std::vector<Stratum> strata;
  for (const auto& t : tables) strata.push_back({{t[0], t[0] + t[1]}, {t[2], t[2] + t[3]}});
  return strata;
}

/// Root cuttings of plum (Bartlett 1935, J. R. Stat. Soc. Suppl. 2:248-252, data of Hoblyn & Palmer
/// 1934; R vcdExtra::Bartlett): long against short, planted at once and in spring.
const std::vector<std::array<int, 4>> plums = {{156, 84, 107, 133}, {84, 156, 31, 209}};

/// Rabbits (Mantel 1963, in R help mantelhaen.test).
const std::vector<std::array<int, 4>> rabbits = {
    {0, 6, 0, 5}, {3, 3, 0, 6}, {6, 0, 2, 4}, {5, 1, 6, 0}, {2, 0, 5, 0}};

/// Two creams in eight clinics (Beitler & Landis 1985, Biometrics 41:991-1000).
const std::vector<std::array<int, 4>> clinics = {{11, 25, 10, 27}, {16, 4, 22, 10}, {14, 5, 7, 12},
                                                 {2, 14, 1, 16},   {6, 11, 0, 12},  {1, 10, 0, 10},
                                                 {1, 4, 1, 8},     {4, 2, 6, 1}};

/// Chance over all tables of two groups at one rate that `belongs` holds: for unconditional tests.
template <class Belongs>
double chance_of(int n1, int n2, double rate, const Belongs& belongs) {
  double sum = 0;
  for (int a = 0; a <= n1; ++a) {
    for (int b = 0; b <= n2; ++b) {
      if (belongs(a, b)) sum += binomial_exactly(n1, a, rate) * binomial_exactly(n2, b, rate);
    }
  }
  return sum;
}

template <class Belongs>
double largest_chance(int n1, int n2, const Belongs& belongs) {
  double largest = 0;
  for (int i = 1; i < 200; ++i) {
    largest = std::max(largest, chance_of(n1, n2, i / 200.0, belongs));
  }
  return largest;
}

/// Boschloo's test of whether the first is better: tables for which Fisher's p is no larger.
double boschloo(int n1, int n2, double p) {
  std::vector<std::vector<bool>> belongs;
  for (int a = 0; a <= n1; ++a) {
    belongs.emplace_back();
    for (int b = 0; b <= n2; ++b) {
      belongs.back().push_back(fisher_test({a, n1}, {b, n2})->greater <= p * (1 + 1e-9));
    }
  }
  return largest_chance(n1, n2, [&](int a, int b) { return belongs[a][b]; });
}

double pooled_score(int a, int n1, int b, int n2) {
  const double p = static_cast<double>(a + b) / (n1 + n2);
  if (p == 0 || p == 1) return 0;
  return (static_cast<double>(a) / n1 - static_cast<double>(b) / n2) /
         std::sqrt(p * (1 - p) * (1.0 / n1 + 1.0 / n2));
}

}  // namespace

TEST_CASE("plum cuttings: long against short within dates") {
  // RS-21: R 4.2.2 mantelhaen.test, metafor 3.8-1 rma.mh, own Breslow-Day.
  const auto strata = strata_of(plums);
  const auto odds = common_odds_ratio(strata);
  REQUIRE(odds);
  CHECK(within(odds->ratio, 2.77083, 0.0005));
  CHECK(within(odds->interval->low, 2.08171, 0.0005));
  CHECK(within(odds->interval->high, 3.68808, 0.0005));
  const auto common = common_difference(strata);
  CHECK(within(common->difference, 0.2125, 0.00005));
  CHECK(within(common->error, 0.029131, 0.000005));
  CHECK(within(common->error_greenland_robins, 0.029129, 0.000005));
  CHECK(within(common->interval.low, 0.155404, 0.00005));
  CHECK(within(common->interval.high, 0.269596, 0.00005));
  const auto test = mantel_haenszel_test(strata);
  CHECK(within(test->chi_square, 50.3152, 0.0005));
  CHECK(within(test->corrected, 49.3334, 0.0005));
  const auto same = breslow_day_test(strata);
  CHECK(within(same->breslow_day, 2.2712, 0.0005));
  CHECK(within(same->tarone, 2.2711, 0.0005));
  CHECK(same->degrees == 1);
  CHECK(within(same->p, 0.1318, 0.0005));
  CHECK(within(exact_strata_test(strata)->odds_ratio, 2.7608, 0.0005));
  // RS-22: at once against in spring within length.
  const auto dates = strata_of({{156, 84, 84, 156}, {107, 133, 31, 209}});
  CHECK(within(common_odds_ratio(dates)->ratio, 4.17739, 0.0005));
  CHECK(within(common_odds_ratio(dates)->interval->low, 3.132, 0.0005));
  CHECK(within(common_odds_ratio(dates)->interval->high, 5.5717, 0.0005));
  CHECK(within(common_difference(dates)->difference, 0.30833, 0.0005));
  CHECK(within(common_difference(dates)->error, 0.029131, 0.0005));
  CHECK(within(mantel_haenszel_test(dates)->chi_square, 100.1185, 0.0005));
  CHECK(within(mantel_haenszel_test(dates)->corrected, 98.7701, 0.0005));
  CHECK(within(breslow_day_test(dates)->breslow_day, 2.2718, 0.0005));
  CHECK(within(breslow_day_test(dates)->tarone, 2.2716, 0.0005));
}

TEST_CASE("small strata: exact, and what adding up hides") {
  // RS-23: R help mantelhaen.test prints p = 0.047 and 0.040.
  const auto strata = strata_of(rabbits);
  CHECK(within(common_odds_ratio(strata)->ratio, 7, 1e-9));
  CHECK(within(common_odds_ratio(strata)->interval->low, 1.0267, 0.0005));
  CHECK(within(common_odds_ratio(strata)->interval->high, 47.7251, 0.0005));
  const auto test = mantel_haenszel_test(strata);
  CHECK(within(test->chi_square, 5.6571, 0.0005));
  CHECK(within(test->corrected, 3.9286, 0.0005));
  CHECK(within(test->p_corrected, 0.0475, 0.00005));
  const auto exact = exact_strata_test(strata);
  CHECK(within(exact->two_sided, 0.039945, 0.00005));
  CHECK(within(exact->mid_p, 0.02135, 0.00005));
  CHECK(within(exact->odds_ratio, 10.361, 0.001));
  CHECK(within(common_difference(strata)->difference, 0.22804, 0.0005));
  CHECK(within(common_difference(strata)->error, 0.09493, 0.0005));
  CHECK(within(common_difference(strata)->error_greenland_robins, 0.07278, 0.0005));
  // RS-24: three strata can tell; added up, the odds ratio is 1.85.
  CHECK(breslow_day_test(strata)->degrees == 2);
  CHECK(within(common_odds_ratio(strata_of({{16, 10, 13, 15}}))->ratio, 1.84615, 0.00005));
}

TEST_CASE("ages, clinics, cities") {
  // RS-25: Rothman, Greenland & Lash 2008, Table 15-1; metafor's worked example. Level 90 %.
  const auto ages = strata_of({{8, 98, 5, 115}, {22, 76, 16, 69}});
  const auto common = common_difference(ages, 0.9);
  CHECK(within(common->difference, 0.0349, 0.0001));
  CHECK(within(common->error, 0.0319, 0.0001));
  CHECK(within(common->interval.low, -0.0176, 0.0001));
  CHECK(within(common->interval.high, 0.0874, 0.0001));
  CHECK(within(common_odds_ratio(ages, 0.9)->ratio, 1.4031, 0.0001));
  CHECK(within(common_odds_ratio(ages, 0.9)->interval->low, 0.8411, 0.0001));
  CHECK(within(common_odds_ratio(ages, 0.9)->interval->high, 2.3409, 0.0001));
  CHECK(within(mantel_haenszel_test(ages)->chi_square, 1.1914, 0.0001));
  CHECK(within(mantel_haenszel_test(ages)->p, 0.275, 0.0005));
  CHECK(within(breslow_day_test(ages)->tarone, 0.3489, 0.0001));
  CHECK(within(breslow_day_test(ages)->p, 0.5547, 0.0001));
  CHECK(within(exact_strata_test(ages)->two_sided, 0.28605, 0.0001));
  CHECK(within(exact_strata_test(ages)->odds_ratio, 1.4022, 0.0001));
  // RS-26: R and metafor as above.
  const auto eight = strata_of(clinics);
  CHECK(within(common_odds_ratio(eight)->ratio, 2.13455, 0.0005));
  CHECK(within(common_odds_ratio(eight)->interval->low, 1.17759, 0.0005));
  CHECK(within(common_odds_ratio(eight)->interval->high, 3.86917, 0.0005));
  CHECK(within(common_difference(eight)->difference, 0.12987, 0.0005));
  CHECK(within(common_difference(eight)->error, 0.05028, 0.00005));
  CHECK(within(common_difference(eight)->error_greenland_robins, 0.0485, 0.00005));
  CHECK(within(common_difference(eight)->interval.low, 0.03132, 0.0005));
  CHECK(within(common_difference(eight)->interval.high, 0.22842, 0.0005));
  CHECK(within(mantel_haenszel_test(eight)->chi_square, 6.3841, 0.0005));
  CHECK(within(mantel_haenszel_test(eight)->corrected, 5.6716, 0.0005));
  CHECK(within(mantel_haenszel_test(eight)->p, 0.0115, 0.00005));
  CHECK(within(exact_strata_test(eight)->two_sided, 0.01336, 0.00005));
  CHECK(within(exact_strata_test(eight)->mid_p, 0.01102, 0.00005));
  CHECK(within(exact_strata_test(eight)->odds_ratio, 2.1303, 0.0005));
  CHECK(breslow_day_test(eight)->degrees == 7);
  CHECK(within(breslow_day_test(eight)->breslow_day, 7.9955, 0.0005));
  CHECK(within(breslow_day_test(eight)->tarone, 7.9918, 0.0005));
  CHECK(within(breslow_day_test(eight)->p, 0.3333, 0.0005));
  // RS-28: Liu 1992, in Agresti, Categorical Data Analysis, ch. 6 (2.17, 280.1, 5.2 from memory).
  const auto cities = strata_of({{126, 100, 35, 61},
                                 {908, 688, 497, 807},
                                 {913, 747, 336, 598},
                                 {235, 172, 58, 121},
                                 {402, 308, 121, 215},
                                 {182, 156, 72, 98},
                                 {60, 99, 11, 43},
                                 {104, 89, 21, 36}});
  CHECK(within(common_odds_ratio(cities)->ratio, 2.17448, 0.001));
  CHECK(within(common_odds_ratio(cities)->interval->low, 1.984, 0.001));
  CHECK(within(common_odds_ratio(cities)->interval->high, 2.38325, 0.001));
  CHECK(within(mantel_haenszel_test(cities)->chi_square, 280.138, 0.001));
  CHECK(within(mantel_haenszel_test(cities)->corrected, 279.376, 0.001));
  CHECK(within(breslow_day_test(cities)->tarone, 5.1997, 0.001));
  CHECK(breslow_day_test(cities)->degrees == 7);
  CHECK(within(exact_strata_test(cities)->odds_ratio, 2.1744, 0.01));
}

TEST_CASE("two groups without trays: the interval of their difference") {
  // RS-29: Perondi et al. 2004, in Fagerland, Lydersen & Laake 2017, ch. 4.
  const Group first{7, 34};
  const Group second{1, 34};
  CHECK(within(difference(first, second), 0.17647, 0.00006));
  CHECK(within(newcombe(first, second)->low, 0.0189, 0.00006));
  CHECK(within(newcombe(first, second)->high, 0.3404, 0.00006));
}

TEST_CASE("two groups without trays: Fisher, its mid-P values, and what is sharper") {
  // RS-30: own enumeration, scipy 1.10.1, R fisher.test; mid-P by Fagerland, Lydersen & Laake 2017.
  const auto fisher = fisher_test({7, 34}, {1, 34});
  CHECK(within(fisher->two_sided, 0.0544, 0.00005));
  CHECK(within(fisher->greater, 0.0272, 0.00005));
  CHECK(within(fisher->mid_p_of_seen, 0.042028, 0.00005));
  CHECK(within(fisher->mid_p_of_ties, 0.029656, 0.00005));
  // Barnard's and Boschloo's tests, from the functions that ship: Fisher's p is safe, not sharp.
  const double score = pooled_score(7, 34, 1, 34) - 1e-9;
  CHECK(within(
      largest_chance(34, 34,
                     [&](int a, int b) { return std::abs(pooled_score(a, 34, b, 34)) >= score; }),
      0.028106, 0.00005));
  CHECK(within(boschloo(34, 34, fisher->greater), 0.019232, 0.00005));
  // RS-36: the documentation of scipy boschloo_exact prints 0.0483 and 0.0355.
  CHECK(within(fisher_test({74, 117}, {31, 63})->greater, 0.0483, 0.00005));
  CHECK(within(boschloo(117, 63, fisher_test({74, 117}, {31, 63})->greater), 0.035564, 0.00005));
  // RS-31: Chan 1998, in the documentation of scipy barnard_exact.
  CHECK(within(fisher_test({7, 15}, {12, 15})->less, 0.06407, 0.0001));
  const double lower = pooled_score(7, 15, 12, 15);
  CHECK(within(lower, -1.8943, 0.0001));
  CHECK(
      within(largest_chance(
                 15, 15, [&](int a, int b) { return pooled_score(a, 15, b, 15) <= lower + 1e-9; }),
             0.034110, 0.00002));
}

TEST_CASE("litters and plates, not animals and seeds") {
  // RS-17: Rao & Scott 1992; own R and own Python.
  const auto naive = pearson_test(added_up({control_litters, treated_litters}));
  CHECK(within(naive->chi_square, 8.8999, 0.0005));
  CHECK(within(naive->p, 0.00285, 0.0005));
  const auto respected = rao_scott_test(Trays{control_litters, treated_litters});
  CHECK(within(respected->chi_square, 4.0406, 0.0005));
  CHECK(within(respected->p, 0.0444, 0.0005));
  const auto litters = tray_difference(control_litters, treated_litters);
  CHECK(within(litters->difference, 0.12632, 0.0005));
  CHECK(within(litters->error, 0.07418, 0.0005));
  CHECK(within(litters->z, 1.703, 0.0005));
  CHECK(within(litters->p, 0.0886, 0.0005));
  // RS-18: a difference that must not be called real; p = 0.03 when plates are ignored.
  CHECK(within(pearson_test(added_up({o73_bean, o73_cucumber}))->chi_square, 4.7033, 0.0005));
  CHECK(within(pearson_test(added_up({o73_bean, o73_cucumber}))->p, 0.0301, 0.0005));
  CHECK(within(rao_scott_test(Trays{o73_bean, o73_cucumber})->chi_square, 2.8965, 0.0005));
  CHECK(within(rao_scott_test(Trays{o73_bean, o73_cucumber})->p, 0.0888, 0.0005));
  const auto plates = tray_difference(o73_cucumber, o73_bean);
  CHECK(within(plates->difference, 0.13354, 0.0005));
  CHECK(within(plates->error, 0.07744, 0.0005));
  CHECK(within(plates->z, 1.7245, 0.0005));
  CHECK(within(plates->p, 0.0846, 0.0005));
  const auto welch = welch_test(of_shares(o73_cucumber), of_shares(o73_bean));
  CHECK(within(welch->t, 1.2676, 0.0005));
  CHECK(within(welch->degrees, 7.059, 0.0005));
  CHECK(within(welch->p, 0.2452, 0.0005));
  // RS-19: a difference that stands although plates scatter.
  CHECK(within(rao_scott_test(Trays{o75_cucumber, o75_bean})->chi_square, 25.117, 0.0005));
  CHECK(within(tray_difference(o75_cucumber, o75_bean)->difference, 0.31739, 0.0005));
  CHECK(within(tray_difference(o75_cucumber, o75_bean)->error, 0.06029, 0.0005));
  const auto stands = welch_test(of_shares(o75_cucumber), of_shares(o75_bean));
  CHECK(within(stands->difference, 0.34399, 0.0005));
  CHECK(within(stands->t, 5.658, 0.0005));
  CHECK(within(stands->degrees, 8.218, 0.0005));
  CHECK(within(stands->p, 0.00043, 0.00005));
  CHECK(within(stands->interval.low, 0.2044, 0.0005));
  CHECK(within(stands->interval.high, 0.4835, 0.0005));
}

TEST_CASE("how many trays an arm") {
  // RS-33: Sedgwick 2013, BMJ 346:f2839; pooled rule, R power.prop.test.
  const auto plain = two_group_size(0.5, 0.65, 0.8, Level{});
  CHECK(within(*plain, 169.311, 0.001));
  CHECK(within(planned_design_effect(46, 0.05), 3.25, 1e-9));
  CHECK(std::ceil(std::ceil(*plain * 3.25) / 46) * 2 == 24);
  // RS-34: BMJ 1999;319:683, appendix: 93 inflated by 1.3.
  CHECK(within(planned_design_effect(7, 0.05), 1.3, 1e-9));
  CHECK(std::ceil(93 * planned_design_effect(7, 0.05)) == 121);
  // RS-35: pooled rule, R power.prop.test; trays of 24, rho 0.02.
  const auto size = two_group_size(0.7, 0.85, 0.8, Level{});
  CHECK(within(*size, 120.472, 0.001));
  CHECK(within(planned_design_effect(24, 0.02), 1.46, 1e-9));
  CHECK(std::ceil(*size * 1.46) == 176);
  CHECK(std::ceil(*size * 1.46 / 24) == 8);
}

TEST_CASE("several comparisons") {
  // RS-72, RS-73, RS-78: Holm 1979; R p.adjust.
  const auto check = [](std::vector<double> p, std::vector<double> expected) {
    const auto adjusted = holm(p);
    REQUIRE(adjusted.size() == expected.size());
    for (std::size_t i = 0; i < p.size(); ++i) CHECK(within(adjusted[i], expected[i], 1e-9));
  };
  check({0.0003, 0.0195, 0.031, 0.05, 0.2}, {0.0015, 0.078, 0.093, 0.1, 0.2});
  check({0.01, 0.04, 0.03, 0.005}, {0.03, 0.06, 0.06, 0.02});
  check({0.04, 0.001, 0.02, 0.012, 0.3}, {0.08, 0.005, 0.06, 0.048, 0.3});
  const auto with_hole = holm(std::vector<double>{0.02, std::nan(""), 0.03});
  CHECK(within(with_hole[0], 0.04, 1e-12));
  CHECK(std::isnan(with_hole[1]));
  // RS-74: Fleiss 1981 in R help prop.test; R fisher.test, p.adjust. All together differ, no pair
  // does after Holm.
  const std::vector<Group> groups = {{83, 86}, {90, 93}, {129, 136}, {70, 82}};
  CHECK(within(pearson_test(groups)->chi_square, 12.6004, 0.0001));
  CHECK(within(pearson_test(groups)->p, 0.005585, 0.0001));
  std::vector<double> pairs;
  for (std::size_t i = 0; i < 4; ++i) {
    for (std::size_t j = i + 1; j < 4; ++j) {
      pairs.push_back(fisher_test(groups[i], groups[j])->two_sided);
    }
  }
  const double fisher[] = {1, 0.744168, 0.014118, 0.743764, 0.012495, 0.024031};
  const double adjusted[] = {1, 1, 0.074968, 1, 0.074968, 0.096124};
  for (std::size_t i = 0; i < 6; ++i) {
    CHECK(within(pairs[i], fisher[i], 0.0001));
    CHECK(within(holm(pairs)[i], adjusted[i], 0.0001));
  }
}

TEST_CASE("several looks") {
  // RS-75: Armitage, McPherson & Rowe 1969 (5.0, 8.3, 14.2, 19.3 read in a later text), R mvtnorm.
  const double z = two_sided_z(0.95);
  const int looks[] = {1, 2, 3, 4, 5, 10, 20};
  const double alarms[] = {0.05, 0.0831, 0.1073, 0.1262, 0.1417, 0.1934, 0.2479};
  for (std::size_t i = 0; i < 7; ++i) {
    CHECK(within(*false_alarm_of_looks(looks[i], z), alarms[i], 0.0001));
  }
  // RS-76: Pocock 1977 (0.0294 for two looks read in a later text).
  const int planned[] = {2, 3, 4, 5};
  const double limits[] = {2.178, 2.289, 2.361, 2.413};
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(within(*limit_for_looks(planned[i]), limits[i], 0.001));
  }
  CHECK(within(2 * normal_below(-*limit_for_looks(2)), 0.0294, 0.001));
  // The limit for ten, 2.555, by what it keeps.
  CHECK(within(*false_alarm_of_looks(10, 2.555), 0.05, 0.0003));
  CHECK_FALSE(false_alarm_of_looks(0, z));
  CHECK_FALSE(false_alarm_of_looks(101, z));
}

TEST_CASE("strata and trays that say nothing") {
  CHECK_FALSE(common_difference(std::vector<Stratum>{}));
  CHECK_FALSE(common_difference(std::vector<Stratum>{{{3, 5}, {0, 0}}}));
  CHECK_FALSE(common_difference(std::vector<Stratum>{{{6, 5}, {1, 3}}}));
  const std::vector<Stratum> all_good = {{{5, 5}, {4, 4}}, {{6, 6}, {3, 3}}};
  CHECK(common_difference(all_good)->difference == 0);
  CHECK_FALSE(mantel_haenszel_test(all_good));
  CHECK_FALSE(breslow_day_test(all_good));
  CHECK_FALSE(common_odds_ratio(all_good));
  CHECK(exact_strata_test(all_good)->two_sided == 1);
  CHECK(std::isinf(common_odds_ratio(std::vector<Stratum>{{{5, 5}, {0, 4}}})->ratio));
  const std::vector<Group> one = {{3, 10}};
  CHECK_FALSE(rao_scott_test(Trays{one, o73_bean}));
  CHECK_FALSE(tray_difference(one, o73_bean));
  CHECK_FALSE(mean_of(std::vector<double>{0.3}));
  CHECK_FALSE(welch_test({0.3, 0, 4}, {0.5, 0, 4}));
  CHECK_FALSE(welch_test({0.3, 0.1, 0}, {0.5, 0.1, 4}));
  CHECK_FALSE(pearson_test(std::vector<Group>{{0, 10}, {0, 12}}));
  CHECK_FALSE(pearson_test(std::vector<Group>{{3, 10}}));
}
