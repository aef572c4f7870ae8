#include "network/controllability.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "uncertain_oracles.hpp"

using namespace budwood::network;

namespace {

constexpr auto open = std::nullopt;
constexpr auto requirement = Part::Kind::requirement;
constexpr auto contingent = Part::Kind::contingent;
constexpr auto low = Part::Side::low;
constexpr auto high = Part::Side::high;

/// The verdict, after making sure that a slower way comes to the same.
bool controllable(const Uncertain& network) {
  const bool verdict = check_controllability(network).controllable;
  CHECK(verdict == controllable_by_saturation(network));
  return verdict;
}

}  // namespace

// Morris 2006, A structural characterization of temporal dynamic controllability, wait example:
// C waits for B, or until 2 after A.
TEST_CASE("a date may wait for an event or until it is too late for it") {
  const Uncertain network{3, {{1, 2, -2, 2}}, {{0, 1, 0, 4}}};
  CHECK(controllable(network));
  CHECK(controllable_by_play(network));
}

// The examples from here to the next source were worked after Morris & Muscettola 2005, Temporal
// dynamic controllability revisited, by the reduction rules and by trying every case in whole days.
TEST_CASE("nobody can be one or two days ahead of an event that gives no warning") {
  const Uncertain network{3, {{1, 2, 1, 2}, {0, 1, 0, open}}, {{0, 2, 1, 8}}};
  CHECK_FALSE(controllable(network));
  CHECK_FALSE(controllable_by_play(network));
}

TEST_CASE("what follows a long uncertain task can come too late") {
  Uncertain network{3, {{1, 2, 40, 45}, {0, 2, 0, 50}}, {{0, 1, 20, 30}}};
  CHECK_FALSE(controllable(network));
  const Verdict verdict = check_controllability(network);
  CHECK(verdict.conflict ==
        std::vector<Part>{{requirement, 0, low}, {requirement, 1, high}, {contingent, 0, high}});
  CHECK(verdict.misses == 20);  // 30 + 40 days against 50
  network.requirements[1].high = 80;
  CHECK(controllable(network));
  network.requirements[1].high = 70;
  CHECK(controllable(network));
  network.requirements[1].high = 69;
  CHECK_FALSE(controllable(network));
}

TEST_CASE("two uncertain tasks from the same start cannot be made to end together") {
  const Uncertain network{3, {{1, 2, 0, 0}}, {{0, 1, 0, 1}, {0, 2, 0, 1}}};
  CHECK_FALSE(controllable(network));
  CHECK_FALSE(controllable_by_play(network));
}

TEST_CASE("a graft that heals in 7 to 10 days") {
  Uncertain network{3, {{1, 2, 0, 1}}, {{0, 1, 7, 10}}};
  CHECK(controllable(network));
  SUBCASE("moved out within a day of healing and 9 to 10 days after grafting") {
    network.requirements.push_back({0, 2, 9, 10});
    CHECK_FALSE(controllable(network));
    const Verdict verdict = check_controllability(network);
    CHECK(verdict.conflict ==
          std::vector<Part>{{requirement, 0, high}, {requirement, 1, low}, {contingent, 0, low}});
    CHECK(verdict.misses == 1);  // healed on day 7, out by day 8, not before day 9
  }
  SUBCASE("moved out within two days of healing and 9 to 12 days after grafting") {
    network.requirements[0].high = 2;
    network.requirements.push_back({0, 2, 9, 12});
    CHECK(controllable(network));
    CHECK(controllable_by_play(network));
  }
}

TEST_CASE("two partners that must be ready together") {
  // 0 sow rootstock, 1 it is ready, 2 sow scion, 3 it is ready
  Uncertain network{4, {{1, 3, -3, 3}}, {{0, 1, 14, 18}, {2, 3, 10, 12}}};
  CHECK(controllable(network));
  network.requirements.push_back({0, 2, 5, 5});  // sow the scion 5 days after the rootstock
  CHECK(controllable(network));
  network.requirements = {{1, 3, -2, 2}};
  CHECK_FALSE(controllable(network));
  const Verdict verdict = check_controllability(network);
  CHECK(verdict.misses == 2);  // the spreads 4 and 2 add to 6, a window of 2 either way holds 4
  CHECK(verdict.conflict.size() == 6);
}

// Test networks of the public repository nrealus/stnu-conflicts (MIT) with its stated verdicts; 10
// times the published numbers where those have decimals.
TEST_CASE("published networks: stnu-conflicts") {
  CHECK_FALSE(controllable({3, {{0, 1, open, -2}, {1, 2, open, 3}, {2, 0, open, -2}}, {}}));
  CHECK(controllable({3, {{0, 2, open, 2}, {2, 1, open, 2}}, {{0, 1, 0, 3}}}));
  CHECK_FALSE(controllable(
      {6, {{1, 4, 5, 10}, {4, 5, 0, 20}, {3, 5, 0, 30}}, {{0, 1, 60, 110}, {2, 3, 20, 40}}}));
  CHECK(controllable({7,
                      {{6, 1, 29, 48}, {3, 1, 1, 8}, {5, 1, 7, 37}},
                      {{0, 1, 1, 3}, {2, 3, 1, 10}, {4, 5, 1, 36}}}));
  CHECK(controllable(
      {11,
       {{10, 1, 399, 650}, {9, 1, 109, 468}, {7, 1, 29, 128}, {5, 1, 7, 34}, {3, 1, 1, 8}},
       {{0, 1, 1, 3}, {2, 3, 1, 10}, {4, 5, 1, 36}, {6, 7, 1, 130}, {8, 9, 1, 470}}}));
  CHECK_FALSE(controllable({4, {{1, 3, 0, 0}, {2, 3, 0, 0}}, {{0, 1, 0, 1}, {0, 2, 0, 1}}}));
  CHECK(controllable({3, {{0, 2, 0, 2}, {2, 1, 0, 2}}, {{0, 1, 0, 4}}}));
  CHECK_FALSE(controllable(
      {7,
       {{1, 2, -10, 10'000'000}, {3, 4, 0, 10'000'000}, {5, 6, 0, 10'000'000}, {1, 6, 50, 180}},
       {{0, 1, 30, 10'000'000}, {2, 3, 10, 55}, {4, 5, 100, 145}}}));
}

// Test networks of the public repository yuemning/dc-checking (MIT) with its stated verdicts; 10
// times the published numbers where those have decimals.
TEST_CASE("published networks: dc-checking") {
  CHECK(controllable({3, {{2, 1, 2, 5}}, {{0, 1, 4, 7}}}));
  CHECK_FALSE(controllable({3, {{1, 2, 40, 45}, {0, 2, 0, 50}}, {{0, 1, 5, 30}}}));
  CHECK(controllable({3, {{1, 2, 40, 45}, {0, 2, 0, 50}}, {{0, 1, 5, 10}}}));
  CHECK_FALSE(controllable({3, {{2, 1, 1, 2}}, {{0, 1, 1, 10}, {0, 2, 1, 8}}}));
  CHECK_FALSE(controllable({4, {{3, 1, 0, 2}, {0, 2, 0, 0}}, {{0, 1, 0, 10}, {2, 3, 0, 8}}}));
  CHECK_FALSE(controllable({2, {{0, 1, 40, 60}, {0, 1, 20, 35}}, {{0, 1, 30, 35}}}));
}

// The public data set of HEATlab/Prob-in-Ctrl (MIT): dynamic1, dynamic2, dynamic451 and, in tenths,
// uncontrollable51 (Akmal, Ammons, Li & Boerkoel 2019, Quantifying degrees of controllability for
// temporal networks with uncertainty, ICAPS).
TEST_CASE("published networks: Prob-in-Ctrl") {
  CHECK(controllable({4, {{1, 2, 0, 10}}, {{0, 1, 20, 40}, {2, 3, 30, 35}}}));
  CHECK(controllable({3, {{0, 1, 4, 9}, {2, 1, -1, 1}}, {{0, 2, 3, 7}}}));
  CHECK(controllable({8,
                      {{1, 3, 1, 19},
                       {6, 7, 4, 16},
                       {2, 5, 0, open},
                       {3, 5, 0, open},
                       {0, 4, 0, 60},
                       {0, 7, 0, 90}},
                      {{0, 1, 9, 21}, {0, 2, 15, 45}, {3, 4, 4, 16}, {5, 6, 5, 35}}}));
  CHECK_FALSE(controllable(
      {4, {{1, 2, 28, 243}, {0, 3, 503, 1180}}, {{0, 1, 419, 603}, {2, 3, 419, 603}}}));
}

TEST_CASE("parallel bounds and labels of one pair are all kept") {
  // The same pair of points holds a contingent link and two requirements; only the second binds.
  CHECK(controllable({2, {{0, 1, 0, 20}, {0, 1, 2, 8}}, {{0, 1, 2, 8}}}));
  CHECK_FALSE(controllable({2, {{0, 1, 0, 20}, {0, 1, 2, 7}}, {{0, 1, 2, 8}}}));
  CHECK_FALSE(controllable({2, {{0, 1, 3, 8}, {0, 1, 0, 20}}, {{0, 1, 2, 8}}}));
}

TEST_CASE("a contingent link without spread is as good as a requirement") {
  CHECK(controllable({3, {{1, 2, 1, 2}}, {{0, 2, 8, 8}}}));
  CHECK(controllable({2, {}, {{0, 1, 0, 0}}}));
  CHECK_FALSE(controllable({2, {{0, 1, open, 2}}, {{0, 1, 3, 3}}}));
}

TEST_CASE("contingent links whose bounds make no sense are named") {
  const Verdict negative = check_controllability({2, {}, {{0, 1, -2, 3}}});
  CHECK_FALSE(negative.controllable);
  CHECK(negative.conflict == std::vector<Part>{{contingent, 0, low}, {contingent, 0, high}});
  CHECK(negative.misses == 2);
  const Verdict crossed = check_controllability({2, {}, {{0, 1, 5, 3}}});
  CHECK_FALSE(crossed.controllable);
  CHECK(crossed.misses == 2);
}

TEST_CASE("nothing uncertain: consistency decides, and the cycle is the conflict") {
  CHECK(controllable({0, {}, {}}));
  CHECK(controllable({2, {{0, 1, 3, 4}}, {}}));
  const Verdict verdict =
      check_controllability({4, {{0, 1, 3, 9}, {1, 2, 3, 9}, {0, 2, open, 5}, {2, 3, 0, 1}}, {}});
  CHECK_FALSE(verdict.controllable);
  CHECK(verdict.conflict ==
        std::vector<Part>{{requirement, 0, low}, {requirement, 1, low}, {requirement, 2, high}});
  CHECK(verdict.misses == 1);
}
