#include "statistics/comparing/seed_replicates.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "statistics/refusal.hpp"

namespace budwood::statistics {

namespace {

constexpr int lowest_mean = 70;
constexpr int most_seeds = 10'000;

struct Row {
  int four, two;  ///< 0: the table has none
};
/// From 99 % down to 70 %: 7 CFR 201.55.
constexpr std::array<Row, 30> rows{{
    {5, 0},   {6, 0},   {7, 6},   {8, 6},   {9, 7},   {10, 8},  {10, 8},  {11, 9},
    {11, 9},  {12, 9},  {12, 10}, {13, 10}, {13, 11}, {14, 11}, {14, 11}, {14, 11},
    {15, 12}, {15, 12}, {15, 12}, {16, 13}, {16, 13}, {16, 13}, {17, 13}, {17, 13},
    {17, 14}, {17, 14}, {17, 14}, {18, 14}, {18, 14}, {18, 14},
}};

/// Logarithms of the ways to choose k of n, k from 0 to n.
std::vector<double> log_ways(int n) {
  std::vector<double> out;
  for (int k = 0; k <= n; ++k) {
    out.push_back(std::lgamma(n + 1.0) - std::lgamma(k + 1.0) - std::lgamma(n - k + 1.0));
  }
  return out;
}

/// What every sum of two numbers weighs.
std::vector<double> sums(const std::vector<double>& a, const std::vector<double>& b) {
  std::vector<double> out(a.size() + b.size() - 1);
  for (std::size_t i = 0; i < a.size(); ++i) {
    for (std::size_t j = 0; j < b.size(); ++j) out[i + j] += a[i] * b[j];
  }
  return out;
}

/// The weight of all k counts between `low` and `high` that come to the total.
double weight_between(const std::vector<double>& ways, int k, int low, int high,
                      std::int64_t total) {
  if (low > high) return 0;
  const std::vector<double> one(ways.begin() + low, ways.begin() + high + 1);
  std::vector<double> all = one;
  for (int i = 1; i < k; ++i) all = sums(all, one);
  const std::int64_t at = total - static_cast<std::int64_t>(k) * low;
  return at < 0 || at >= static_cast<std::int64_t>(all.size()) ? 0
                                                               : all[static_cast<std::size_t>(at)];
}

bool can_be(int k, int n, int t) {
  return k >= 2 && k <= 8 && n >= 1 && n <= most_seeds && t >= 0;
}

}  // namespace

std::optional<int> tolerated_range(int replicates, int mean) {
  if (mean >= 2 && mean <= 101 - lowest_mean) mean = 101 - mean;
  if (mean < lowest_mean || mean > 99) return std::nullopt;
  const Row& row = rows[static_cast<std::size_t>(99 - mean)];
  const int out = replicates == 4 ? row.four : replicates == 2 ? row.two : 0;
  return out == 0 ? std::nullopt : std::optional(out);
}

int tolerated_difference(double mean, bool only_200) {
  const int more = only_200 ? 2 : 0;
  if (mean >= 96) return 5 + more;
  if (mean >= 90) return 6 + more;
  if (mean >= 80) return 7 + more;
  if (mean >= 70) return 8 + more;
  return (mean >= 60 ? 9 : 10) + more;
}

double chance_of_wider_range(int k, int n, std::int64_t total, int t) {
  if (!can_be(k, n, t) || total < 0 || total > static_cast<std::int64_t>(k) * n) return refused;
  std::vector<double> ways = log_ways(n);
  // Beside the count that is most likely, so that nothing over- or underflows.
  const auto middle = static_cast<std::size_t>(total / k);
  const double odds = middle == 0 || middle == static_cast<std::size_t>(n)
                          ? 0
                          : std::log(static_cast<double>(middle) /
                                     static_cast<double>(n - static_cast<int>(middle)));
  const double top = ways[middle] + odds * static_cast<double>(middle);
  for (std::size_t i = 0; i < ways.size(); ++i) {
    ways[i] = std::exp(ways[i] + odds * static_cast<double>(i) - top);
  }
  const double all = weight_between(ways, k, 0, n, total);
  double within = 0;
  for (int least = 0; least <= n; ++least) {
    const int most = std::min(least + t, n);
    within += weight_between(ways, k, least, most, total) -
              weight_between(ways, k, least + 1, most, total);
  }
  return std::clamp(1 - within / all, 0.0, 1.0);
}

}  // namespace budwood::statistics
