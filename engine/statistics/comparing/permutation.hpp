#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace budwood::statistics {

/// Trays that were given to two arms by lot within blocks. The test rests on that lot: how often
/// would it have made so large a difference if arms were alike?

/// One tray: what came of it, the block it was drawn in, and whether the lot gave it to the first
/// arm.
struct LotTray {
  double share = 0;
  int block = 0;
  bool is_first = false;
};

struct PermutationTest {
  double difference = 0;      ///< mean share of the first arm's trays less that of the second's
  std::int64_t as_large = 0;  ///< lots with a difference as large on either side, the one seen too
  std::int64_t lots = 0;      ///< that were looked at
  bool is_exact = true;       ///< all lots were; otherwise a sample from a seed
  double p = 1;               ///< as_large / lots
};

/// Lots that are listed when there are no more of them, and lots in a sample otherwise.
inline constexpr std::int64_t most_listed_lots = 200'000;
inline constexpr std::int64_t sampled_lots = 10'000;

/// How many lots there are: in each block all choices of as many trays for the first arm as it got.
/// Nothing above 2^62.
std::optional<std::int64_t> lots_of(std::span<const LotTray> trays);

/// Exact where all lots can be listed, otherwise from `sampled_lots` drawn from the seed, with the
/// lot seen counted as one of them so that p is never 0 (Phipson & Smyth 2010, Stat. Appl. Genet.
/// Mol. Biol. 9:39). Where blocks differ in how they divide trays, the statistic is the mean of the
/// differences within blocks, weighed by n1 n2 / n. Nothing where no block has trays of both arms,
/// or a share is not finite.
std::optional<PermutationTest> permutation_test(std::span<const LotTray> trays, std::uint64_t seed);

/// How many ways there are to give trays to arms: `arms` trays each in every one of `blocks`.
/// Nothing above 2^62, or where a number is below 0.
std::optional<std::int64_t> balanced_lots(std::span<const int> arms, int blocks);

/// The smallest two-sided p that two arms of so many trays in one block can reach, with all lots
/// equally likely: 2 / lots for equal arms (a lot and its mirror image differ alike), 1 / lots
/// otherwise; over equal blocks the product of their lots counts.
std::optional<double> smallest_p(int first, int second, int blocks = 1);

}  // namespace budwood::statistics
