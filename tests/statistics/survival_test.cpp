#include "statistics/spread/survival.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "exact_sums.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

namespace {

/// Weeks to relapse (Freireich et al. 1963, Blood 21:699-716; R MASS::gehan); false: still without
/// when last seen.
const std::vector<Followed> treated = {
    {6, 1, true},   {6, 1, true},   {6, 1, true},   {6, 1, false}, {7, 1, true},   {9, 1, false},
    {10, 1, true},  {10, 1, false}, {11, 1, false}, {13, 1, true}, {16, 1, true},  {17, 1, false},
    {19, 1, false}, {20, 1, false}, {22, 1, true},  {23, 1, true}, {25, 1, false}, {32, 1, false},
    {32, 1, false}, {34, 1, false}, {35, 1, false}};

std::vector<Followed> control() {
  std::vector<Followed> plants;
  for (const double week :
       {1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23}) {
    plants.push_back({week, 1, true});
  }
  return plants;
}

}  // namespace

TEST_CASE("alive over weeks") {
  // RS-69, RS-70: R survival 3.5-3 survfit.
  const auto curve = survival_curve(treated);
  const double time[] = {6, 7, 10, 13, 16, 22, 23};
  const int at_risk[] = {21, 17, 15, 12, 11, 7, 6};
  const double survival[] = {0.8571, 0.8067, 0.7529, 0.6902, 0.6275, 0.5378, 0.4482};
  const double error[] = {0.0764, 0.0869, 0.0963, 0.1068, 0.1141, 0.1282, 0.1346};
  REQUIRE(curve.size() == 7);
  for (std::size_t i = 0; i < 7; ++i) {
    CHECK(curve[i].time == time[i]);
    CHECK(curve[i].at_risk == at_risk[i]);
    CHECK(within(curve[i].survival, survival[i], 0.0001));
    CHECK(within(curve[i].error, error[i], 0.0001));
  }
  CHECK(median_survival(curve) == 23);
  CHECK(within(curve[2].log_interval.low, 0.5859, 0.0001));
  CHECK(within(curve[2].log_interval.high, 0.9676, 0.0001));
  CHECK(within(curve[6].log_interval.low, 0.2488, 0.0001));
  CHECK(within(curve[6].log_interval.high, 0.8074, 0.0001));
  CHECK(within(curve[2].interval.low, 0.5032, 0.0001));
  CHECK(within(curve[2].interval.high, 0.8894, 0.0001));
  CHECK(within(curve[6].interval.low, 0.1881, 0.0001));
  CHECK(within(curve[6].interval.high, 0.6801, 0.0001));
}

TEST_CASE("two curves") {
  // RS-71: R survival survdiff.
  const auto test = log_rank(treated, control());
  REQUIRE(test);
  CHECK(test->observed[0] == 9);
  CHECK(test->observed[1] == 21);
  CHECK(within(test->expected[0], 19.25, 0.005));
  CHECK(within(test->expected[1], 10.75, 0.005));
  CHECK(within(test->chi_square, 16.793, 0.001));
  CHECK(within(test->p, 4.17e-5, 1e-7));
  // Unit by unit the same: what happened less what was expected, a plant.
  const auto scores = log_rank_scores(std::vector<std::vector<Followed>>{treated, control()});
  CHECK(within(scores[0] * 21, 9 - 19.25, 0.005));
  CHECK(within(scores[1] * 21, 21 - 10.75, 0.005));
  CHECK(scores[0] * 21 + scores[1] * 21 == doctest::Approx(0));
  const auto curve = survival_curve(control());
  CHECK(median_survival(curve) == 8);
  CHECK(within(curve[5].survival, 0.38095, 0.00001));  // at 8 weeks
}

TEST_CASE("plants that are counted together, and nothing to follow") {
  // 100 plants, 20 lost on day 5, 80 alive on day 9: as a share.
  const auto curve = survival_curve(std::vector<Followed>{{5, 20, true}, {9, 80, false}});
  REQUIRE(curve.size() == 1);
  CHECK(within(curve[0].survival, 0.8, 1e-12));
  CHECK_FALSE(median_survival(curve));
  CHECK(survival_curve({}).empty());
  CHECK_FALSE(log_rank({}, {}));
  CHECK(log_rank_scores(std::vector<std::vector<Followed>>{{}, {{3, 7, true}}})[0] == 0);
  // All lost: 0, and no limits to speak of.
  const auto all = survival_curve(std::vector<Followed>{{3, 7, true}});
  CHECK(all[0].survival == 0);
  CHECK(all[0].interval.high == 0);
}
