#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "statistics/comparing/strata.hpp"
#include "statistics/refusal.hpp"

namespace budwood::statistics {
namespace {

constexpr std::int64_t most_plants = 100'000;

double log_choose_of(std::int64_t n, std::int64_t k) {
  return std::lgamma(static_cast<double>(n) + 1) - std::lgamma(static_cast<double>(k) + 1) -
         std::lgamma(static_cast<double>(n - k) + 1);
}

/// Chances of the numbers of good ones in the first technique, from `lowest` on.
struct SumOfGood {
  std::int64_t lowest = 0;
  std::vector<double> chances{1.0};
};

SumOfGood of_stratum(const Stratum& s) {
  const std::int64_t good = s.first.good + s.second.good;
  SumOfGood result;
  result.lowest = std::max<std::int64_t>(0, good - s.second.of);
  const std::int64_t highest = std::min(s.first.of, good);
  result.chances.clear();
  const double all = log_choose_of(s.first.of + s.second.of, good);
  for (std::int64_t k = result.lowest; k <= highest; ++k) {
    result.chances.push_back(
        std::exp(log_choose_of(s.first.of, k) + log_choose_of(s.second.of, good - k) - all));
  }
  return result;
}

SumOfGood added(const SumOfGood& a, const SumOfGood& b) {
  SumOfGood sum;
  sum.lowest = a.lowest + b.lowest;
  sum.chances.assign(a.chances.size() + b.chances.size() - 1, 0);
  for (std::size_t i = 0; i < a.chances.size(); ++i) {
    for (std::size_t j = 0; j < b.chances.size(); ++j) {
      sum.chances[i + j] += a.chances[i] * b.chances[j];
    }
  }
  return sum;
}

/// Mean of the index when chances are weighed by exp(tilt * index), relative to the heaviest.
double mean_at(const std::vector<double>& chances, double tilt) {
  double heaviest = -std::numeric_limits<double>::infinity();
  std::vector<double> logs(chances.size());
  for (std::size_t i = 0; i < chances.size(); ++i) {
    logs[i] = std::log(chances[i]) + tilt * static_cast<double>(i);
    heaviest = std::max(heaviest, logs[i]);
  }
  double weights = 0;
  double total = 0;
  for (std::size_t i = 0; i < chances.size(); ++i) {
    const double weight = std::exp(logs[i] - heaviest);
    weights += weight;
    total += weight * static_cast<double>(i);
  }
  return total / weights;
}

double likeliest_odds_ratio(const std::vector<double>& chances, std::size_t seen) {
  if (chances.size() == 1) return refused;
  if (seen == 0) return 0;
  if (seen + 1 == chances.size()) return std::numeric_limits<double>::infinity();
  double low = -50;
  double high = 50;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (mean_at(chances, middle) < static_cast<double>(seen) ? low : high) = middle;
  }
  return std::exp((low + high) / 2);
}

}  // namespace

std::optional<ExactStrataTest> exact_strata_test(std::span<const Stratum> strata) {
  SumOfGood sum;
  std::int64_t first = 0;
  std::int64_t second = 0;
  std::int64_t good = 0;
  for (const Stratum& s : strata) {
    for (const Group& g : {s.first, s.second}) {
      if (!is_count(g.good) || !is_count(g.of) || g.good > g.of) return std::nullopt;
    }
    if (s.first.of == 0 || s.second.of == 0) continue;
    first += s.first.of;
    second += s.second.of;
    if (first > most_plants || second > most_plants) return std::nullopt;
    good += s.first.good;
    sum = added(sum, of_stratum(s));
  }
  if (first == 0) return std::nullopt;
  const auto seen = static_cast<std::size_t>(good - sum.lowest);
  const double chance = sum.chances[seen];
  ExactStrataTest test;
  test.two_sided = 0;
  double ties = 0;
  for (std::size_t i = 0; i < sum.chances.size(); ++i) {
    // Sums that are as likely but for rounding belong to it.
    if (sum.chances[i] > chance * (1 + 1e-7)) continue;
    test.two_sided += sum.chances[i];
    if (sum.chances[i] >= chance * (1 - 1e-7)) ties += sum.chances[i];
  }
  test.mid_p = std::min(test.two_sided - ties / 2, 1.0);
  test.two_sided = std::min(test.two_sided, 1.0);
  test.odds_ratio = likeliest_odds_ratio(sum.chances, seen);
  return test;
}

}  // namespace budwood::statistics
