#include <doctest/doctest.h>

#include <vector>

#include "uncertain_oracles.hpp"

using namespace budwood::network;

namespace {

/// The bounds that a verdict names fail by themselves, and no longer without any one of them.
void check_conflict(const Uncertain& network, const Verdict& verdict) {
  REQUIRE_FALSE(verdict.conflict.empty());
  REQUIRE(verdict.misses > 0);
  REQUIRE_FALSE(controllable_by_saturation(named_part(network, verdict.conflict)));
  for (const Part& left_out : verdict.conflict) {
    std::vector<Part> rest;
    for (const Part& part : verdict.conflict) {
      const bool same_link = part.kind == Part::Kind::contingent &&
                             left_out.kind == Part::Kind::contingent &&
                             part.index == left_out.index;
      if (!(part == left_out) && !same_link) rest.push_back(part);
    }
    REQUIRE(controllable_by_saturation(named_part(network, rest)));
  }
}

/// Some requirement bound of the conflict, given way far enough, removes it; a conflict of
/// contingent links alone has none.
void check_loosening(const Uncertain& network, const Verdict& verdict) {
  bool any = false, helps = false;
  for (const Part& part : verdict.conflict) {
    if (part.kind != Part::Kind::requirement) continue;
    any = true;
    Uncertain loosened = named_part(network, verdict.conflict);
    for (Requirement& bound : loosened.requirements) {
      const Requirement& whole = network.requirements[part.index];
      if (bound.from != whole.from || bound.to != whole.to) continue;
      if (part.side == Part::Side::low && bound.low == whole.low && bound.low) *bound.low -= 1000;
      if (part.side == Part::Side::high && bound.high == whole.high && bound.high) {
        *bound.high += 1000;
      }
    }
    helps = helps || check_controllability(loosened).controllable;
  }
  REQUIRE((!any || helps));
}

}  // namespace

TEST_CASE("random networks: the verdict is that of saturation") {
  int controllable = 0, not_so = 0;
  for (std::uint32_t seed = 0; seed < 20000; ++seed) {
    CAPTURE(seed);
    Draw draw(seed);
    // Most are small; every twentieth has up to 20 points.
    const bool large = seed % 20 == 0;
    const int contingents = large ? draw.between(5, 9) : draw.between(0, 4);
    const int points = draw.between(contingents + 1, contingents + (large ? 11 : 5));
    const Uncertain network = random_uncertain(draw, points, contingents, 4);
    const Verdict verdict = check_controllability(network);
    REQUIRE(verdict.controllable == controllable_by_saturation(network));
    ++(verdict.controllable ? controllable : not_so);
    if (verdict.controllable) {
      REQUIRE(verdict.conflict.empty());
    } else {
      check_conflict(network, verdict);
      check_loosening(network, verdict);
    }
  }
  CHECK(controllable > 3000);
  CHECK(not_so > 3000);
}

TEST_CASE("tiny networks: the verdict is that of playing every game in whole days") {
  int controllable = 0, not_so = 0;
  for (std::uint32_t seed = 0; seed < 400; ++seed) {
    CAPTURE(seed);
    Draw draw(seed);
    const int contingents = draw.between(1, 2);
    const Uncertain network =
        random_uncertain(draw, draw.between(contingents + 1, 4), contingents, 2);
    const Verdict verdict = check_controllability(network);
    REQUIRE(verdict.controllable == controllable_by_play(network));
    ++(verdict.controllable ? controllable : not_so);
  }
  CHECK(controllable > 80);
  CHECK(not_so > 80);
}

TEST_CASE("scaling all bounds changes nothing but the size of the miss") {
  for (std::uint32_t seed = 0; seed < 500; ++seed) {
    CAPTURE(seed);
    Draw draw(seed);
    Uncertain network = random_uncertain(draw, 7, 3, 4);
    const Verdict days = check_controllability(network);
    constexpr Length scale = 10'000;
    for (Requirement& r : network.requirements) {
      if (r.low) *r.low *= scale;
      if (r.high) *r.high *= scale;
    }
    for (Contingent& link : network.contingents) {
      link.low *= scale;
      link.high *= scale;
    }
    const Verdict fine = check_controllability(network);
    REQUIRE(fine.controllable == days.controllable);
    REQUIRE(fine.conflict == days.conflict);
    REQUIRE(fine.misses == days.misses * scale);
  }
}
