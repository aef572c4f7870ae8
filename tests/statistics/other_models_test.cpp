/// Models that the program does not use, by their published values: what it says instead must not
/// be far from them.
///
/// Plates are respected here by the beta-binomial, by design effects and by the lot that was drawn.
/// Logistic models with a random effect need quadrature that goes wrong unseen (RS-27: 80 fixed
/// points are visibly off), and penalised quasi-likelihood differs from one program to the next
/// (RS-10, for orientation alone). Models with two factors at once (RS-08) have no command to ask.
/// Newcombe's interval stands for Miettinen and Nurminen's (RS-32): it needs no search, and is as
/// near to what it says. Dunnett's test wants a pooled deviation, where arms scatter differently;
/// Holm's adjustment holds for any test.
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <vector>

#include "exact_sums.hpp"
#include "moments.hpp"
#include "plates.hpp"
#include "statistics/comparing/groups_compared.hpp"
#include "statistics/comparing/strata.hpp"
#include "statistics/comparing/student.hpp"
#include "statistics/differences.hpp"
#include "statistics/spread/beta_binomial_fit.hpp"
#include "statistics/spread/scatter.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

namespace {

const std::array<std::vector<Group>, 4> plates = {o75_bean, o75_cucumber, o73_bean, o73_cucumber};

double logit(double share) {
  return std::log(share / (1 - share));
}

double share_in(const Group& g) {
  return static_cast<double>(g.good) / static_cast<double>(g.of);
}

/// Base, seed, root, interaction, with O75 on bean as the base: shares in the order of `plates`.
std::array<double, 4> coefficients(const std::array<double, 4>& shares) {
  const double base = logit(shares[0]);
  const double seed = logit(shares[2]) - base;
  const double root = logit(shares[1]) - base;
  return {base, seed, root, logit(shares[3]) - base - seed - root};
}

void check(const std::array<double, 4>& found, const std::array<double, 4>& published,
           double tolerance) {
  for (std::size_t i = 0; i < 4; ++i) {
    CAPTURE(i);
    CHECK(within(found[i], published[i], tolerance));
  }
}

/// Of the beta-binomial with one likeness for all plates.
std::array<double, 4> learned_shares() {
  const auto fit = fit_beta_binomial(std::span<const std::vector<Group>>(plates));
  return {fit->means[0], fit->means[1], fit->means[2], fit->means[3]};
}

}  // namespace

TEST_CASE("the plain logistic model of the plates") {
  // RS-06: R 4.2.2 stats::glm; Breslow & Clayton 1993, JASA 88:9-25 and the BUGS Seeds page use the
  // same fit. With both factors and their interaction its shares are those of the plants added up.
  std::array<double, 4> shares{};
  double pearson = 0;
  double deviance = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const double p = shares[i] = share_in(all_of(plates[i]));
    for (const Group& g : plates[i]) {
      const auto n = static_cast<double>(g.of);
      pearson += std::pow(static_cast<double>(g.good) - n * p, 2) / (n * p * (1 - p));
      const std::vector<Group> plate{g};
      const double own = g.good == 0 ? 0 : log_likelihood(plate, share_in(g), 0);
      deviance += 2 * (own - log_likelihood(plate, p, 0));
    }
  }
  check(coefficients(shares), {-0.5582, 0.1459, 1.3182, -0.7781}, 0.0005);
  CHECK(within(deviance, 33.278, 0.0005));
  CHECK(within(pearson, 31.651, 0.0005));
  // More scatter than luck has, which makes its errors too small.
  CHECK(within(chi_square_above(pearson, 17), 0.0166, 0.0005));
}

TEST_CASE("plates as a random effect, or weighed, say what the beta-binomial says") {
  const auto found = coefficients(learned_shares());
  // RS-07: R lme4 1.1-31 glmer, 25 points; the plain model is up to 0.05 away.
  check(found, {-0.5484, 0.0970, 1.3370, -0.8105}, 0.02);
  // RS-11: Williams 1982, Appl. Statist. 31:144-148, weights 1 / (1 + phi (n - 1)).
  check(found, {-0.5354, 0.0701, 1.3298, -0.8196}, 0.03);
  // RS-09: R package agridat, help page crowder.seeds, printed: penalised quasi-likelihood with O73
  // on bean as the base, two decimals.
  const auto shares = learned_shares();
  const std::array<double, 4> turned = {shares[2], shares[3], shares[0], shares[1]};
  check(coefficients(turned), {-0.44, -0.10, 0.52, 0.80}, 0.006);
}

TEST_CASE("clinics as a random effect say nearly what Mantel and Haenszel say") {
  // RS-27: SAS/STAT NLMIXED documentation, R lme4 glmer: log odds ratio 0.738, error 0.300. Data of
  // Beitler & Landis 1985, Biometrics 41:991-1000.
  const std::vector<Stratum> clinics = {
      {{11, 36}, {10, 37}}, {{16, 20}, {22, 32}}, {{14, 19}, {7, 19}}, {{2, 16}, {1, 17}},
      {{6, 17}, {0, 12}},   {{1, 11}, {0, 10}},   {{1, 5}, {1, 9}},    {{4, 6}, {6, 7}}};
  const auto odds = common_odds_ratio(clinics);
  REQUIRE(odds);
  CHECK(within(std::log(odds->ratio), 0.738, 0.03));
  const double error = std::log(odds->interval->high / odds->interval->low) / (2 * 1.959964);
  CHECK(within(error, 0.300, 0.01));
}

TEST_CASE("Newcombe's interval lies by Miettinen and Nurminen's") {
  // RS-32: Newcombe 1998, Stat. Med. 17:873-890, Table II, method 6 (from memory, computed two
  // ways).
  struct Row {
    Group first, second;
    double low, high;
  };
  const Row rows[] = {{{9, 10}, {3, 10}, 0.1700, 0.8406},
                      {{5, 56}, {0, 29}, -0.0326, 0.1933},
                      {{0, 10}, {0, 10}, -0.2879, 0.2879}};
  for (const Row& row : rows) {
    const auto found = newcombe(row.first, row.second);
    REQUIRE(found);
    CHECK(within(found->low, row.low, 0.035));
    CHECK(within(found->high, row.high, 0.035));
  }
}

TEST_CASE("two techniques against one: Holm in place of Dunnett") {
  // RS-77: Dunnett 1955, JASA 50:1096-1121 (data in the scipy documentation of dunnett); R multcomp
  // 1.4-22 glht: t 0.857 and 3.694 with 12 degrees of freedom, p 0.620 and 0.0058.
  const std::vector<double> control = {7.4, 8.5, 7.2, 8.24, 9.84, 8.32};
  const std::vector<double> a = {9.76, 8.8, 7.68, 9.36};
  const std::vector<double> b = {12.8, 9.68, 12.16, 9.2, 10.55};
  const double pooled[] = {two_sided_t_tail(0.857, 12), two_sided_t_tail(3.6938, 12)};
  const auto held = holm(pooled);
  CHECK(held[1] >= 0.0058);
  CHECK(held[1] < 0.0065);
  CHECK(held[0] > 0.05);
  // With each group's own deviation, as the program has it, the answer is the same.
  const double own[] = {welch_test(*mean_of(a), *mean_of(control))->p,
                        welch_test(*mean_of(b), *mean_of(control))->p};
  const auto adjusted = holm(own);
  CHECK(adjusted[0] > 0.05);
  CHECK(adjusted[1] < 0.05);
}
