#include "statistics/comparing/groups_compared.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "statistics/comparing/student.hpp"
#include "statistics/normal.hpp"
#include "statistics/refusal.hpp"
#include "statistics/spread/scatter.hpp"

namespace budwood::statistics {
namespace {

/// Counts that need not be whole, as those divided by a design effect are not.
struct Weighed {
  double good = 0;
  double of = 0;
};

std::optional<ChiSquareTest> pearson(std::span<const Weighed> groups) {
  double good = 0;
  double of = 0;
  for (const Weighed& g : groups) {
    if (!(g.of > 0)) return std::nullopt;
    good += g.good;
    of += g.of;
  }
  if (groups.size() < 2 || good <= 0 || good >= of) return std::nullopt;
  const double p = good / of;
  ChiSquareTest test;
  for (const Weighed& g : groups) {
    const double miss = g.good - g.of * p;
    test.chi_square += miss * miss / (g.of * p * (1 - p));
  }
  test.p = chi_square_above(test.chi_square, static_cast<double>(groups.size()) - 1);
  return test;
}

bool is_possible(const Group& g) {
  return is_count(g.good) && is_count(g.of) && g.good <= g.of;
}

bool are_possible(std::span<const Group> groups) {
  return std::all_of(groups.begin(), groups.end(), is_possible);
}

std::int64_t trays_in(std::span<const Group> groups) {
  return std::count_if(groups.begin(), groups.end(), [](const Group& g) { return g.of > 0; });
}

double share_in(const Group& g) {
  return static_cast<double>(g.good) / static_cast<double>(g.of);
}

/// Never below 1: luck that made trays alike must not narrow anything.
double widening(std::span<const Group> trays) {
  return std::max(design_effect(trays).value_or(1), 1.0);
}

Weighed divided(std::span<const Group> trays) {
  const Group all = all_of(trays);
  const double effect = widening(trays);
  return {static_cast<double>(all.good) / effect, static_cast<double>(all.of) / effect};
}

double variance_in(std::span<const Group> trays) {
  const Group all = all_of(trays);
  const double p = share_in(all);
  return widening(trays) * p * (1 - p) / static_cast<double>(all.of);
}

struct MeanAndError {
  double mean = 0;
  double square = 0;  ///< of the standard error
  double count = 0;
};

MeanAndError of_shares(std::span<const Group> trays) {
  std::vector<double> shares;
  for (const Group& g : trays) {
    if (g.of > 0) shares.push_back(share_in(g));
  }
  MeanAndError result;
  result.count = static_cast<double>(shares.size());
  for (const double share : shares) result.mean += share / result.count;
  for (const double share : shares) result.square += std::pow(share - result.mean, 2);
  result.square /= (result.count - 1) * result.count;
  return result;
}

}  // namespace

std::optional<ChiSquareTest> pearson_test(const Group& first, const Group& second) {
  const Group groups[] = {first, second};
  return pearson_test(groups);
}

std::optional<ChiSquareTest> pearson_test(std::span<const Group> groups) {
  if (!are_possible(groups)) return std::nullopt;
  std::vector<Weighed> weighed;
  for (const Group& g : groups) {
    weighed.push_back({static_cast<double>(g.good), static_cast<double>(g.of)});
  }
  return pearson(weighed);
}

std::optional<ChiSquareTest> rao_scott_test(std::span<const Group> first,
                                            std::span<const Group> second) {
  if (!are_possible(first) || !are_possible(second)) return std::nullopt;
  if (trays_in(first) < 2 || trays_in(second) < 2) return std::nullopt;
  const Weighed groups[] = {divided(first), divided(second)};
  return pearson(groups);
}

std::optional<TrayDifference> tray_difference(std::span<const Group> first,
                                              std::span<const Group> second, double confidence) {
  if (!are_possible(first) || !are_possible(second)) return std::nullopt;
  const auto trays = static_cast<double>(trays_in(first) + trays_in(second));
  if (trays_in(first) < 2 || trays_in(second) < 2) return std::nullopt;
  TrayDifference found;
  found.difference = difference(all_of(first), all_of(second));
  found.error = std::sqrt(variance_in(first) + variance_in(second));
  if (!(found.error > 0) || !(confidence > 0 && confidence < 1)) return std::nullopt;
  found.z = found.difference / found.error;
  found.p = 2 * normal_below(-std::abs(found.z));
  const double reach = two_sided_t(confidence, trays - 2) * found.error;
  found.interval = {std::max(found.difference - reach, -1.0),
                    std::min(found.difference + reach, 1.0)};
  return found;
}

std::optional<WelchTest> welch_test(std::span<const Group> first, std::span<const Group> second,
                                    double confidence) {
  if (!are_possible(first) || !are_possible(second)) return std::nullopt;
  if (trays_in(first) < 2 || trays_in(second) < 2) return std::nullopt;
  if (!(confidence > 0 && confidence < 1)) return std::nullopt;
  const MeanAndError a = of_shares(first);
  const MeanAndError b = of_shares(second);
  const double square = a.square + b.square;
  if (!(square > 0)) return std::nullopt;
  WelchTest test;
  test.difference = a.mean - b.mean;
  test.t = test.difference / std::sqrt(square);
  test.degrees =
      square * square / (a.square * a.square / (a.count - 1) + b.square * b.square / (b.count - 1));
  test.p = two_sided_t_tail(test.t, test.degrees);
  const double reach = two_sided_t(confidence, test.degrees) * std::sqrt(square);
  test.interval = {test.difference - reach, test.difference + reach};
  return test;
}

std::vector<double> holm(std::span<const double> p) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < p.size(); ++i) {
    if (!std::isnan(p[i])) order.push_back(i);
  }
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return p[a] != p[b] ? p[a] < p[b] : a < b; });
  std::vector<double> adjusted(p.begin(), p.end());
  double largest = 0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    largest = std::max(largest, p[order[i]] * static_cast<double>(order.size() - i));
    adjusted[order[i]] = std::min(largest, 1.0);
  }
  return adjusted;
}

}  // namespace budwood::statistics
