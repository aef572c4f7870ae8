#include "statistics/fisher.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace budwood::statistics {
namespace {

/// The hypergeometric distribution of the good ones in the first group, through ratios of
/// neighbours from its mode outwards, so that no factorial is needed.
class Tables {
 public:
  Tables(const Group& first, const Group& second)
      : n1_(first.of),
        n2_(second.of),
        good_(first.good + second.good),
        lowest_(std::max<std::int64_t>(0, good_ - n2_)),
        highest_(std::min(n1_, good_)),
        probabilities_(static_cast<std::size_t>(highest_ - lowest_) + 1) {
    const double top = (static_cast<double>(n1_) + 1) * (static_cast<double>(good_) + 1);
    const auto mode = std::clamp(
        static_cast<std::int64_t>(top / static_cast<double>(n1_ + n2_ + 2)), lowest_, highest_);
    at(mode) = 1;
    double sum = 1;
    for (std::int64_t k = mode; k < highest_; ++k) sum += at(k + 1) = at(k) * ratio_up(k);
    for (std::int64_t k = mode; k > lowest_; --k) sum += at(k - 1) = at(k) / ratio_up(k - 1);
    for (double& p : probabilities_) p /= sum;
  }

  std::int64_t lowest() const { return lowest_; }
  std::int64_t highest() const { return highest_; }
  double probability(std::int64_t k) const {
    return probabilities_[static_cast<std::size_t>(k - lowest_)];
  }

  double sum(std::int64_t from, std::int64_t to) const {
    double total = 0;
    for (std::int64_t k = from; k <= to; ++k) total += probability(k);
    return std::min(total, 1.0);
  }

  /// Mean number of good ones in the first group when the odds ratio is exp(log_odds_ratio).
  double mean_at(double log_odds_ratio) const {
    // Weights are taken relative to the heaviest, lest they overflow.
    double heaviest = -std::numeric_limits<double>::infinity();
    const auto log_weight = [&](std::int64_t k) {
      return std::log(probability(k)) + log_odds_ratio * static_cast<double>(k);
    };
    for (std::int64_t k = lowest_; k <= highest_; ++k) heaviest = std::max(heaviest, log_weight(k));
    double weights = 0;
    double total = 0;
    for (std::int64_t k = lowest_; k <= highest_; ++k) {
      const double weight = std::exp(log_weight(k) - heaviest);
      weights += weight;
      total += weight * static_cast<double>(k);
    }
    return total / weights;
  }

 private:
  double& at(std::int64_t k) { return probabilities_[static_cast<std::size_t>(k - lowest_)]; }
  /// P(k + 1) / P(k).
  double ratio_up(std::int64_t k) const {
    return static_cast<double>(n1_ - k) * static_cast<double>(good_ - k) /
           (static_cast<double>(k + 1) * static_cast<double>(n2_ - good_ + k + 1));
  }

  std::int64_t n1_;
  std::int64_t n2_;
  std::int64_t good_;
  std::int64_t lowest_;
  std::int64_t highest_;
  std::vector<double> probabilities_;
};

double conditional_odds_ratio(const Tables& tables, std::int64_t seen) {
  if (tables.lowest() == tables.highest()) return std::numeric_limits<double>::quiet_NaN();
  if (seen == tables.lowest()) return 0;
  if (seen == tables.highest()) return std::numeric_limits<double>::infinity();
  double low = -50;
  double high = 50;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (tables.mean_at(middle) < static_cast<double>(seen) ? low : high) = middle;
  }
  return std::exp((low + high) / 2);
}

}  // namespace

std::optional<FisherTest> fisher_test(const Group& first, const Group& second) {
  constexpr std::int64_t most = 10'000'000;
  const auto is_group = [](const Group& g) {
    return g.good >= 0 && g.good <= g.of && g.of <= most;
  };
  if (!is_group(first) || !is_group(second) || first.of + second.of > most) return std::nullopt;
  const Tables tables(first, second);
  const std::int64_t seen = first.good;
  FisherTest result;
  result.less = tables.sum(tables.lowest(), seen);
  result.greater = tables.sum(seen, tables.highest());
  // Tables that are as likely but for rounding belong to it.
  const double limit = tables.probability(seen) * (1 + 1e-7);
  const double least = tables.probability(seen) * (1 - 1e-7);
  result.two_sided = 0;
  double ties = 0;
  for (std::int64_t k = tables.lowest(); k <= tables.highest(); ++k) {
    const double p = tables.probability(k);
    if (p <= limit) result.two_sided += p;
    if (p <= limit && p >= least) ties += p;
  }
  result.mid_p_of_seen = std::min(result.two_sided - tables.probability(seen) / 2, 1.0);
  result.mid_p_of_ties = std::min(result.two_sided - ties / 2, 1.0);
  result.two_sided = std::min(result.two_sided, 1.0);
  result.odds_ratio = conditional_odds_ratio(tables, seen);
  return result;
}

}  // namespace budwood::statistics
