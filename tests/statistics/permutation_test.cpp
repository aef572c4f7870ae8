#include "statistics/comparing/permutation.hpp"

#include <doctest/doctest.h>

#include <chrono>
#include <random>
#include <vector>

#include "exact_sums.hpp"
#include "plates.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

namespace {

std::vector<LotTray> trays_of(const std::vector<Group>& first, const std::vector<Group>& second) {
  std::vector<LotTray> trays;
  const auto add = [&](const std::vector<Group>& groups, bool is_first) {
    for (const Group& g : groups) {
      trays.push_back({static_cast<double>(g.good) / static_cast<double>(g.of), 0, is_first});
    }
  };
  add(first, true);
  add(second, false);
  return trays;
}

}  // namespace

TEST_CASE("Orobanche: every lot of the plates") {
  // RS-18, RS-19: R combn; difference of unweighted plate means, two-sided.
  const auto small = permutation_test(trays_of(o73_cucumber, o73_bean), 1);
  REQUIRE(small);
  CHECK(small->is_exact);
  CHECK(small->as_large == 66);
  CHECK(small->lots == 252);
  CHECK(within(small->p, 0.2619, 0.0005));
  const auto large = permutation_test(trays_of(o75_cucumber, o75_bean), 1);
  CHECK(large->as_large == 1);
  CHECK(large->lots == 462);
  CHECK(within(large->p, 0.0021645, 0.0000005));
  CHECK(within(large->difference, 0.34399, 0.0005));
}

TEST_CASE("how many lots there are") {
  // RS-79, RS-80: multinomial counts in closed form.
  const auto lots = [](std::vector<int> arms, int blocks) { return balanced_lots(arms, blocks); };
  CHECK(lots({2, 2}, 6) == 46656);
  CHECK(lots({2, 2, 2}, 1) == 90);
  CHECK(lots({2, 2, 2}, 4) == 65610000);
  CHECK(lots({6, 6}, 1) == 924);
  CHECK(lots({4, 4, 4}, 1) == 34650);
  CHECK(lots({3, 3}, 1) == 20);
  CHECK(lots({4, 4}, 1) == 70);
  CHECK(lots({5, 5}, 1) == 252);
  CHECK(lots({6, 5}, 1) == 462);
  CHECK(within(*smallest_p(3, 3), 0.1, 0.00001));
  CHECK(within(*smallest_p(4, 4), 0.02857, 0.00001));
  CHECK(within(*smallest_p(5, 5), 0.00794, 0.00001));
  CHECK_FALSE(lots({100, 100, 100}, 1));
  CHECK(*smallest_p(200, 200) < 1e-15);
}

TEST_CASE("blocks are kept together") {
  // Two blocks of two trays each: four lots, and the one seen is the largest together with its
  // mirror image.
  const std::vector<LotTray> trays = {
      {0.9, 1, true}, {0.5, 1, false}, {0.8, 2, true}, {0.3, 2, false}};
  const auto test = permutation_test(trays, 1);
  CHECK(test->lots == 4);
  CHECK(test->as_large == 2);
  CHECK(within(test->difference, 0.45, 1e-12));
  // A block with one arm only says nothing.
  auto with_more = trays;
  with_more.push_back({0.1, 3, true});
  CHECK(permutation_test(with_more, 1)->lots == 4);
  CHECK_FALSE(permutation_test(std::vector<LotTray>{{0.1, 1, true}, {0.2, 2, false}}, 1));
}

TEST_CASE("a sample of lots agrees with all of them, and is the same from the same seed") {
  std::mt19937_64 random(3);
  std::vector<LotTray> trays;
  for (int i = 0; i < 24; ++i) {
    const double share = static_cast<double>(random() % 1000) / 1000;
    trays.push_back({share + (i % 2 == 0 ? 0.25 : 0), 0, i % 2 == 0});
  }
  const auto sampled = permutation_test(trays, 5);
  CHECK_FALSE(sampled->is_exact);
  CHECK(sampled->lots == sampled_lots + 1);
  CHECK(permutation_test(trays, 5)->as_large == sampled->as_large);
  // 2 704 156 lots, counted one by one: the sample's error is about 0.002.
  std::vector<double> shares;
  double seen = 0;
  double total = 0;
  for (const LotTray& tray : trays) {
    shares.push_back(tray.share);
    total += tray.share;
    seen += tray.is_first ? tray.share : 0;
  }
  std::int64_t as_large = 0;
  std::int64_t lots = 0;
  for (unsigned chosen = 0; chosen < 1U << 24; ++chosen) {
    if (__builtin_popcount(chosen) != 12) continue;
    ++lots;
    double sum = 0;
    for (unsigned bits = chosen; bits != 0; bits &= bits - 1) {
      sum += shares[static_cast<std::size_t>(__builtin_ctz(bits))];
    }
    if (std::abs(2 * sum - total) >= std::abs(2 * seen - total) - 1e-9) ++as_large;
  }
  const double exact = static_cast<double>(as_large) / static_cast<double>(lots);
  CHECK(within(sampled->p, exact, 4 * std::sqrt(exact * (1 - exact) / sampled_lots) + 1e-4));
}

TEST_CASE("alarms where arms are alike stay under what they say") {
  // Trays that scatter (shares from 0.4 to 1), arms alike: p <= 0.05 in at most 5 of 100 trials.
  std::mt19937_64 random(11);
  int alarms = 0;
  constexpr int trials = 2000;
  for (int i = 0; i < trials; ++i) {
    std::vector<LotTray> trays;
    for (int block = 0; block < 3; ++block) {
      for (int tray = 0; tray < 4; ++tray) {
        const double luck = static_cast<double>(random() % 1000) / 1000;
        trays.push_back({0.4 + 0.1 * block + 0.4 * luck, block, tray < 2});
      }
    }
    if (permutation_test(trays, 1)->p <= 0.05) ++alarms;
  }
  CHECK(alarms <= trials * 0.05 + 3 * std::sqrt(trials * 0.05 * 0.95));
  CHECK(alarms > 0);
}

TEST_CASE("ten thousand lots of 200 trays") {
  std::mt19937_64 random(2);
  std::vector<LotTray> trays;
  for (int i = 0; i < 200; ++i) {
    trays.push_back({static_cast<double>(random() % 100) / 100, i / 20, i % 2 == 0});
  }
  const auto from = std::chrono::steady_clock::now();
  const auto test = permutation_test(trays, 9);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - from;
  CHECK(test->lots == sampled_lots + 1);
  CHECK(took.count() < 2);  // 0.2 s on a machine of its own
}
