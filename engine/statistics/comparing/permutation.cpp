#include "statistics/comparing/permutation.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <random>

namespace budwood::statistics {
namespace {

constexpr std::int64_t too_many = std::int64_t{1} << 62;

std::optional<std::int64_t> times(std::int64_t a, std::int64_t b) {
  if (a != 0 && b > too_many / a) return std::nullopt;
  return a * b;
}

std::optional<std::int64_t> choices(std::int64_t n, std::int64_t k) {
  std::int64_t result = 1;
  k = std::min(k, n - k);
  for (std::int64_t i = 1; i <= k; ++i) {
    const auto product = times(result, n - k + i);
    if (!product) return std::nullopt;
    result = *product / i;
  }
  return result;
}

/// A block that has trays of both arms: its shares, those of the first arm in front.
struct Block {
  std::vector<double> shares;
  int first = 0;  ///< trays of the first arm
  double total = 0;

  double trays() const { return static_cast<double>(shares.size()); }
  double second() const { return trays() - first; }
  double weight() const { return first * second() / trays(); }
  /// Weight times the difference of means, when the first arm's trays add up to `sum`.
  double part(double sum) const { return weight() * (sum / first - (total - sum) / second()); }
  double seen() const {
    double sum = 0;
    for (int i = 0; i < first; ++i) sum += shares[static_cast<std::size_t>(i)];
    return part(sum);
  }
};

std::optional<std::vector<Block>> blocks_of(std::span<const LotTray> trays) {
  std::map<int, std::vector<double>> of_first;
  std::map<int, std::vector<double>> of_second;
  for (const LotTray& tray : trays) {
    if (!std::isfinite(tray.share)) return std::nullopt;
    (tray.is_first ? of_first : of_second)[tray.block].push_back(tray.share);
  }
  std::vector<Block> blocks;
  for (const auto& [block, first] : of_first) {
    const auto second = of_second.find(block);
    if (second == of_second.end()) continue;
    Block b;
    b.shares = first;
    b.first = static_cast<int>(first.size());
    b.shares.insert(b.shares.end(), second->second.begin(), second->second.end());
    for (const double share : b.shares) b.total += share;
    blocks.push_back(std::move(b));
  }
  if (blocks.empty()) return std::nullopt;
  return blocks;
}

/// The parts that each choice of trays for the first arm of a block would give.
std::vector<double> parts_of(const Block& block) {
  std::vector<double> parts;
  const std::size_t n = block.shares.size();
  std::vector<std::size_t> chosen;
  for (int i = 0; i < block.first; ++i) chosen.push_back(static_cast<std::size_t>(i));
  while (true) {
    double sum = 0;
    for (const std::size_t i : chosen) sum += block.shares[i];
    parts.push_back(block.part(sum));
    // The next choice: the last tray that can move on does so, those after it follow closely.
    std::size_t k = chosen.size();
    while (k > 0 && chosen[k - 1] == n - chosen.size() + k - 1) --k;
    if (k == 0) return parts;
    ++chosen[k - 1];
    for (std::size_t i = k; i < chosen.size(); ++i) chosen[i] = chosen[i - 1] + 1;
  }
}

/// Counts sums, one part a block, that are as far from 0 as the one seen.
class Listing {
 public:
  Listing(std::span<const Block> blocks, double limit) : limit_(limit) {
    for (const Block& block : blocks) parts_.push_back(parts_of(block));
  }

  std::int64_t as_large(std::size_t block = 0, double sum = 0) const {
    if (block == parts_.size()) return std::abs(sum) >= limit_ ? 1 : 0;
    std::int64_t count = 0;
    for (const double part : parts_[block]) count += as_large(block + 1, sum + part);
    return count;
  }

 private:
  std::vector<std::vector<double>> parts_;
  double limit_;
};

std::int64_t sampled_as_large(std::vector<Block> blocks, double limit, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::int64_t count = 0;
  for (std::int64_t lot = 0; lot < sampled_lots; ++lot) {
    double difference = 0;
    for (Block& block : blocks) {
      double sum = 0;
      for (int i = 0; i < block.first; ++i) {
        // The remainder of 64 bits favours no tray by more than 1 in 10^15; the standard library's
        // own distribution may differ from one system to the next.
        const auto from = static_cast<std::size_t>(i);
        std::swap(block.shares[from], block.shares[from + random() % (block.shares.size() - from)]);
        sum += block.shares[from];
      }
      difference += block.part(sum);
    }
    if (std::abs(difference) >= limit) ++count;
  }
  return count;
}

}  // namespace

std::optional<std::int64_t> lots_of(std::span<const LotTray> trays) {
  const auto blocks = blocks_of(trays);
  if (!blocks) return std::nullopt;
  std::optional<std::int64_t> lots = 1;
  for (const Block& block : *blocks) {
    const auto of_block = choices(static_cast<std::int64_t>(block.shares.size()), block.first);
    lots = lots && of_block ? times(*lots, *of_block) : std::nullopt;
  }
  return lots;
}

std::optional<PermutationTest> permutation_test(std::span<const LotTray> trays,
                                                std::uint64_t seed) {
  const auto blocks = blocks_of(trays);
  if (!blocks) return std::nullopt;
  double seen = 0;
  double weights = 0;
  for (const Block& block : *blocks) {
    seen += block.seen();
    weights += block.weight();
  }
  PermutationTest test;
  test.difference = seen / weights;
  // Lots that differ as much but for rounding belong to it.
  const double limit = std::abs(seen) - 1e-9 * weights;
  const auto lots = lots_of(trays);
  test.is_exact = lots && *lots <= most_listed_lots;
  if (test.is_exact) {
    test.lots = *lots;
    test.as_large = Listing(*blocks, limit).as_large();
  } else {
    test.lots = sampled_lots + 1;
    test.as_large = sampled_as_large(*blocks, limit, seed) + 1;
  }
  test.p = static_cast<double>(test.as_large) / static_cast<double>(test.lots);
  return test;
}

std::optional<std::int64_t> balanced_lots(std::span<const int> arms, int blocks) {
  if (blocks < 0 || std::any_of(arms.begin(), arms.end(), [](int n) { return n < 0; })) {
    return std::nullopt;
  }
  std::optional<std::int64_t> of_block = 1;
  std::int64_t trays = 0;
  for (const int arm : arms) {
    trays += arm;
    const auto chosen = choices(trays, arm);
    of_block = of_block && chosen ? times(*of_block, *chosen) : std::nullopt;
  }
  std::optional<std::int64_t> lots = of_block ? std::optional<std::int64_t>(1) : std::nullopt;
  for (int i = 0; i < blocks && lots; ++i) lots = times(*lots, *of_block);
  return lots;
}

std::optional<double> smallest_p(int first, int second, int blocks) {
  const int arms[] = {first, second};
  const auto lots = balanced_lots(arms, blocks);
  if (!lots || *lots == 0) return lots ? std::nullopt : std::optional<double>(0);
  const double mirrored = first == second ? 2 : 1;
  return std::min(1.0, mirrored / static_cast<double>(*lots));
}

}  // namespace budwood::statistics
