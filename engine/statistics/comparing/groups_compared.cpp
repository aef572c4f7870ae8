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

}  // namespace

std::optional<ChiSquareTest> pearson_test(std::span<const Group> groups) {
  if (!are_possible(groups)) return std::nullopt;
  std::vector<Weighed> weighed;
  for (const Group& g : groups) {
    weighed.push_back({static_cast<double>(g.good), static_cast<double>(g.of)});
  }
  return pearson(weighed);
}

std::optional<ChiSquareTest> rao_scott_test(std::span<const std::vector<Group>> techniques) {
  std::vector<Weighed> groups;
  for (const std::vector<Group>& trays : techniques) {
    if (!are_possible(trays) || trays_in(trays) < 2) return std::nullopt;
    groups.push_back(divided(trays));
  }
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

std::optional<Estimate> mean_of(std::span<const double> values) {
  if (values.size() < 2) return std::nullopt;
  const auto count = static_cast<double>(values.size());
  Estimate mean;
  mean.degrees = count - 1;
  for (const double value : values) mean.value += value / count;
  double squares = 0;
  for (const double value : values) squares += std::pow(value - mean.value, 2);
  mean.error = std::sqrt(squares / (count * (count - 1)));
  return mean;
}

std::optional<WelchTest> welch_test(const Estimate& first, const Estimate& second,
                                    double confidence) {
  const double a = first.error * first.error;
  const double b = second.error * second.error;
  const bool finite = std::isfinite(first.value) && std::isfinite(second.value);
  if (!finite || !(a + b > 0) || !(first.degrees > 0 && second.degrees > 0)) return std::nullopt;
  if (!(confidence > 0 && confidence < 1)) return std::nullopt;
  WelchTest test;
  const double error = std::sqrt(a + b);
  test.difference = first.value - second.value;
  test.t = test.difference / error;
  test.degrees = (a + b) * (a + b) / (a * a / first.degrees + b * b / second.degrees);
  test.p = two_sided_t_tail(test.t, test.degrees);
  const double reach = two_sided_t(confidence, test.degrees) * error;
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
