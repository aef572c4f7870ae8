#include "statistics/counts.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "exact_sums.hpp"
#include "statistics/assurance.hpp"
#include "statistics/beta_binomial.hpp"
#include "statistics/binomial.hpp"

using namespace budwood::statistics;
using namespace budwood::statistics::test;

namespace {
Rate known(double share) {
  return *Rate::known(share);
}

Counts survivors(std::int64_t n, const Rate& rate) {
  return Counts::certain(n).thinned(rate);
}

/// P(at least m after both parts were thinned, joined one to one and thinned again), by trying
/// every pair of numbers.
double joined_by_brute_force(int n1, double p1, int n2, double p2, double take, int m) {
  const auto first = binomial_probabilities(n1, p1);
  const auto second = binomial_probabilities(n2, p2);
  double sum = 0;
  for (int a = 0; a <= n1; ++a) {
    for (int b = 0; b <= n2; ++b) {
      sum += first[static_cast<std::size_t>(a)] * second[static_cast<std::size_t>(b)] *
             static_cast<double>(binomial_tails(std::min(a, b), m, take).at_least);
    }
  }
  return sum;
}
}  // namespace

TEST_CASE("one chain is a binomial, however many stages it has") {
  const Counts direct = survivors(125, known(0.85));
  const Counts in_stages = survivors(125, known(0.9)).thinned(known(0.85 / 0.9));
  for (std::int64_t m = 60; m <= 126; ++m) {
    CHECK(within(direct.at_least(m), binomial_at_least(125, m, 0.85), 1e-13));
    CHECK(within(in_stages.at_least(m), binomial_at_least(125, m, 0.85), 1e-13));
  }
  CHECK(within(direct.mean(), 125 * 0.85, 1e-9));
  CHECK(within(direct.variance(), 125 * 0.85 * 0.15, 1e-9));
  CHECK(direct.quantile(0.05) == binomial_quantile(125, 0.85, 0.05));
  CHECK(direct.quantile(0.95) == binomial_quantile(125, 0.85, 0.95));
}

TEST_CASE("small joins agree with trying every pair") {
  std::mt19937 random(20270314);
  std::uniform_int_distribution<int> number(1, 16);
  std::uniform_real_distribution<double> share(0.3, 1);
  for (int round = 0; round < 60; ++round) {
    const int n1 = number(random);
    const int n2 = number(random);
    const double p1 = share(random);
    const double p2 = share(random);
    const double take = share(random);
    const Counts parts[] = {survivors(n1, known(p1)), survivors(n2, known(p2))};
    const Counts finished = Counts::smallest(parts).thinned(known(take));
    for (int m = 0; m <= std::min(n1, n2) + 1; ++m) {
      CHECK(within(finished.at_least(m), joined_by_brute_force(n1, p1, n2, p2, take, m), 1e-12));
    }
  }
}

TEST_CASE("three parts at a join need all of them") {
  const Counts parts[] = {survivors(120, known(0.9)), survivors(115, known(0.95)),
                          survivors(130, known(0.85))};
  const Counts joined = Counts::smallest(parts);
  for (std::int64_t m = 90; m <= 116; ++m) {
    const double expected = binomial_at_least(120, m, 0.9) * binomial_at_least(115, m, 0.95) *
                            binomial_at_least(130, m, 0.85);
    CHECK(within(joined.at_least(m), expected, 1e-12));
  }
}

TEST_CASE("joins within joins, against chance") {
  // 400 000 draws: a share has a standard error of at most 0.5 / sqrt(400 000) = 0.0008; five of
  // those are left for each of the few shares looked at, which chance exceeds once in two million.
  constexpr int draws = 400'000;
  std::mt19937_64 random(20270314);
  const auto draw = [&](int n, double p) { return std::binomial_distribution<int>(n, p)(random); };
  std::vector<int> seen(200);
  for (int i = 0; i < draws; ++i) {
    const int inner = draw(std::min(draw(140, 0.9), draw(150, 0.85)), 0.95);
    ++seen[static_cast<std::size_t>(draw(std::min(inner, draw(130, 0.92)), 0.9))];
  }
  const Counts inner_parts[] = {survivors(140, known(0.9)), survivors(150, known(0.85))};
  const Counts outer_parts[] = {Counts::smallest(inner_parts).thinned(known(0.95)),
                                survivors(130, known(0.92))};
  const Counts finished = Counts::smallest(outer_parts).thinned(known(0.9));
  for (const int m : {95, 100, 105, 110}) {
    int reached = 0;
    for (std::size_t k = static_cast<std::size_t>(m); k < seen.size(); ++k) reached += seen[k];
    CAPTURE(m);
    CHECK(within(finished.at_least(m), static_cast<double>(reached) / draws, 5 * 0.0008));
  }
}

TEST_CASE("a plan sized chain by chain reaches what was asked") {
  // Two parts joined into a third chain, 90 % sure: each chain has 0.9^(1/3), the joined chain
  // needs its start from both parts.
  for (const std::int64_t order : {1, 10, 100, 2'500, 40'000}) {
    const double each = assurance_of_each(0.9, 3);
    const auto joined = smallest_start(order, 0.85, each);
    const auto scion = smallest_start(*joined, 0.8, each);
    const auto stock = smallest_start(*joined, 0.95, each);
    const Counts parts[] = {survivors(*scion, known(0.8)), survivors(*stock, known(0.95))};
    const double reached = Counts::smallest(parts).thinned(known(0.85)).at_least(order);
    CAPTURE(order);
    CHECK(reached >= 0.9);
    CHECK(reached < 1);
  }
}

TEST_CASE("rates from counts") {
  const Rate germination = *Rate::counted(184, 200);
  const Counts seedlings = survivors(300, germination);
  for (std::int64_t m = 200; m <= 300; m += 5) {
    CHECK(within(seedlings.at_least(m), predicted_at_least(300, m, germination), 1e-12));
  }
  const Rate with_loss = known(0.9) * germination;
  const Counts plants = survivors(300, with_loss);
  for (std::int64_t m = 200; m <= 300; m += 5) {
    CHECK(within(plants.at_least(m), predicted_at_least(300, m, with_loss), 1e-9));
  }
  // All seen were good: the likeliest number is all of them.
  const Rate all_good = *Rate::counted(50, 50);
  const Counts nearly_all = survivors(80, all_good);
  for (std::int64_t m = 60; m <= 80; ++m) {
    CHECK(within(nearly_all.at_least(m), predicted_at_least(80, m, all_good), 1e-12));
  }
}

TEST_CASE("large numbers on a grid stay close") {
  // Two stages of 10 million plants, against one.
  const Counts staged = survivors(10'000'000, known(0.9)).thinned(known(0.8));
  // A rate from counts at a size that only a grid holds.
  const Rate germination = *Rate::counted(184, 200);
  const Counts seedlings = survivors(5'000'000, germination);
  const Counts planted = survivors(2'000'000'000, germination);
  for (double z = -3; z <= 3; z += 0.5) {
    CAPTURE(z);
    const auto m = static_cast<std::int64_t>(7.2e6 + z * std::sqrt(1e7 * 0.72 * 0.28));
    CHECK(within(staged.at_least(m), binomial_at_least(10'000'000, m, 0.72), 1e-5));
    const double share = germination.mean() + z * std::sqrt(germination.variance());
    if (share >= 1) continue;
    const auto some = static_cast<std::int64_t>(5e6 * share);
    CHECK(within(seedlings.at_least(some), predicted_at_least(5'000'000, some, germination), 1e-5));
    const auto many = static_cast<std::int64_t>(2e9 * share);
    CHECK(
        within(planted.at_least(many), predicted_at_least(2'000'000'000, many, germination), 1e-5));
  }
  // Thinned again, by a known rate and by one from counts.
  const Counts potted = seedlings.thinned(known(0.9));
  const Rate both = known(0.9) * germination;
  for (double z = -2.5; z <= 2.5; z += 0.5) {
    const double share = both.mean() + z * std::sqrt(both.variance());
    if (share >= 0.9) continue;
    const auto m = static_cast<std::int64_t>(5e6 * share);
    CAPTURE(z);
    CHECK(within(potted.at_least(m), predicted_at_least(5'000'000, m, both), 1e-5));
  }
}

TEST_CASE("a part that loses nothing caps the join, also on a grid") {
  const Rate germination = *Rate::counted(184, 200);
  for (const std::int64_t n : {1'000, 5'000'000, 2'000'000'000}) {
    const auto order = n / 10 * 9;
    const Counts parts[] = {survivors(n, germination), Counts::certain(order)};
    const Counts joined = Counts::smallest(parts);
    CHECK(within(joined.at_least(order), predicted_at_least(n, order, germination), 1e-5));
    CHECK(joined.at_least(order + 1) == 0);
    CHECK(*joined.quantile(0.999) == order);
    const Counts other_way[] = {parts[1], parts[0]};
    CHECK(Counts::smallest(other_way).at_least(order) == joined.at_least(order));
    // A third part does not lift the cap.
    const Counts three[] = {parts[0], parts[1], survivors(n, germination)};
    CHECK(Counts::smallest(three).at_least(order + 1) == 0);
    CHECK(Counts::smallest(three).at_least(order) < joined.at_least(order));
    // And what follows the join knows the cap.
    CHECK(joined.thinned(known(0.5)).at_least(order * 51 / 100) < 0.3);
  }
}

TEST_CASE("a narrow part beside a wide one keeps its own scatter") {
  // A stock that loses 1 in 10 000 beside a scion whose rate rests on 200 counts, asked about the
  // number that the stock just reaches; then a take that is nearly certain.
  const Rate germination = *Rate::counted(184, 200);
  for (const std::int64_t n : {10'000, 1'000'000, 10'000'000}) {
    const std::int64_t scions = n * 11 / 10;
    const Counts parts[] = {survivors(scions, germination), survivors(n, known(0.9999))};
    const std::int64_t order = *binomial_quantile(n, 0.9999, 0.05);
    const double joined =
        predicted_at_least(scions, order, germination) * binomial_at_least(n, order, 0.9999);
    CAPTURE(n);
    CHECK(within(Counts::smallest(parts).at_least(order), joined, 1e-5));
    // With the take: given the take's losses of a few plants, the same product, averaged over them.
    const Rate take = known(1 - 1e-6);
    double taken = 0;
    for (int lost = 0; lost < 60; ++lost) {
      const double chance = binomial_exactly(order + lost, lost, 1e-6);
      taken += chance * predicted_at_least(scions, order + lost, germination) *
               binomial_at_least(n, order + lost, 0.9999);
    }
    CHECK(within(Counts::smallest(parts).thinned(take).at_least(order), taken, 1e-4));
  }
}

TEST_CASE("wide before wide: rates from counts on both sides of a join") {
  // Alone, two such rates are one after the other; the moments of their product are exact.
  const Rate germination = *Rate::counted(184, 200);
  const Rate take = *Rate::counted(75, 100);
  for (const std::int64_t n : {1'000, 100'000, 5'000'000}) {
    const Counts taken = survivors(n, germination).thinned(take);
    const Rate both = germination * take;
    const auto plants = static_cast<double>(n);
    const double variance =
        plants * both.mean() * (1 - both.mean()) + plants * (plants - 1) * both.variance();
    CAPTURE(n);
    CHECK(within(taken.mean(), plants * both.mean(), 0.1));
    CHECK(within(taken.variance() / variance, 1, 1e-4));
    CHECK(within(taken.at_least(0), 1, 1e-9));
  }
  // A rate that may well be all of them piles up at the end of what there is.
  const Counts nearly_all = survivors(5'000'000, germination).thinned(*Rate::counted(50, 50));
  CHECK(within(nearly_all.mean(), 5e6 * germination.mean() * 50.5 / 51, 0.1));
}

TEST_CASE("a yield multiplies") {
  const Counts shoots = *survivors(40, known(0.9)).multiplied(3.5);
  for (std::int64_t x = 20; x <= 40; ++x) {
    const auto yielded = static_cast<std::int64_t>(std::floor(3.5 * static_cast<double>(x)));
    CHECK(within(shoots.at_least(yielded), binomial_at_least(40, x, 0.9), 1e-12));
    CHECK(within(shoots.at_least(yielded + 1), binomial_at_least(40, x + 1, 0.9), 1e-12));
  }
  CHECK(Counts::certain(30).multiplied(0.1)->at_least(3) == 1);  // 30 * 0.1, however it rounds
  CHECK_FALSE(Counts::certain(30).multiplied(0));
  CHECK_FALSE(Counts::certain(30).multiplied(-1));
  CHECK_FALSE(Counts::certain(largest_count).multiplied(2));
}

TEST_CASE("ends of the range") {
  CHECK(Counts::certain(5).at_least(5) == 1);
  CHECK(Counts::certain(5).at_least(6) == 0);
  CHECK(Counts::certain(-5).at_least(1) == 0);
  CHECK(Counts::certain(5).thinned(known(0)).at_least(1) == 0);
  CHECK(Counts::certain(5).thinned(known(1)).at_least(5) == 1);
  CHECK(Counts::certain(0).thinned(known(0.5)).at_least(0) == 1);
  CHECK(Counts::certain(0).thinned(*Rate::counted(3, 5)).at_least(1) == 0);
  CHECK(Counts::smallest({}).at_least(1) == 0);
  CHECK(Counts::certain(5).quantile(0.5) == 5);
  CHECK_FALSE(Counts::certain(5).quantile(0));
}
