#include "statistics/differences.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "statistics/binomial.hpp"
#include "statistics/normal.hpp"

namespace budwood::statistics {
namespace {

bool is_group(const Group& g) {
  return g.good >= 0 && g.good <= g.of && g.of >= 1 && g.of <= largest_count;
}

bool are_valid(const Group& first, const Group& second, double confidence) {
  return is_group(first) && is_group(second) && confidence > 0 && confidence < 1;
}

double share(const Group& g) {
  return static_cast<double>(g.good) / static_cast<double>(g.of);
}

/// Method 10 and 11: limits of the groups, squared and added on the side that matters.
Interval squared_and_added(const Group& first, const Group& second, const Interval& of_first,
                           const Interval& of_second) {
  const double p1 = share(first);
  const double p2 = share(second);
  return {p1 - p2 - std::hypot(p1 - of_first.low, of_second.high - p2),
          p1 - p2 + std::hypot(of_first.high - p1, p2 - of_second.low)};
}

/// The likeliest share of the first group when the two differ by exactly `delta`: the root of a
/// cubic.
double restricted_share(const Group& first, const Group& second, double delta) {
  const double p1 = share(first);
  const double p2 = share(second);
  const double theta = static_cast<double>(second.of) / static_cast<double>(first.of);
  const double a = 1 + theta;
  const double b = -(1 + theta + p1 + theta * p2 + delta * (theta + 2));
  const double c = delta * delta + delta * (2 * p1 + theta + 1) + p1 + theta * p2;
  const double d = -p1 * delta * (1 + delta);
  const double third = b / (3 * a);
  const double v = third * third * third - b * c / (6 * a * a) + d / (2 * a);
  const double u = std::copysign(std::sqrt(std::max(third * third - c / (3 * a), 0.0)), v);
  const double cosine = u == 0 ? 1 : std::clamp(v / (u * u * u), -1.0, 1.0);
  const double root = 2 * u * std::cos((std::numbers::pi + std::acos(cosine)) / 3) - third;
  return std::clamp(root, std::max(0.0, delta), std::min(1.0, 1 + delta));
}

/// The score statistic of the hypothesis that the difference is `delta`, with a factor before its
/// variance; it falls as delta rises.
double score(const Group& first, const Group& second, double delta, double factor) {
  const auto n1 = static_cast<double>(first.of);
  const auto n2 = static_cast<double>(second.of);
  const double r1 = restricted_share(first, second, delta);
  const double r2 = std::clamp(r1 - delta, 0.0, 1.0);
  const double variance = (r1 * (1 - r1) / n1 + r2 * (1 - r2) / n2) * factor;
  const double miss = difference(first, second) - delta;
  if (variance > 0) return miss / std::sqrt(variance);
  return miss == 0 ? 0 : std::copysign(std::numeric_limits<double>::infinity(), miss);
}

/// The difference between `low` and `high` at which the score falls below z, by halving.
double where_score_is(const Group& first, const Group& second, double factor, double z, double low,
                      double high) {
  for (int i = 0; i < 100; ++i) {
    const double middle = (low + high) / 2;
    (score(first, second, middle, factor) > z ? low : high) = middle;
  }
  return (low + high) / 2;
}

Interval score_interval(const Group& first, const Group& second, double factor, double confidence) {
  const double z = two_sided_z(confidence);
  const double middle = difference(first, second);
  return {where_score_is(first, second, factor, z, -1, middle),
          where_score_is(first, second, factor, -z, middle, 1)};
}

}  // namespace

double difference(const Group& first, const Group& second) {
  if (!is_group(first) || !is_group(second)) return std::numeric_limits<double>::quiet_NaN();
  return share(first) - share(second);
}

std::optional<Interval> newcombe(const Group& first, const Group& second, double confidence) {
  if (!are_valid(first, second, confidence)) return std::nullopt;
  return squared_and_added(first, second, *wilson(first.good, first.of, confidence),
                           *wilson(second.good, second.of, confidence));
}

std::optional<Interval> newcombe_corrected(const Group& first, const Group& second,
                                           double confidence) {
  if (!are_valid(first, second, confidence)) return std::nullopt;
  return squared_and_added(first, second, *wilson_corrected(first.good, first.of, confidence),
                           *wilson_corrected(second.good, second.of, confidence));
}

std::optional<Interval> miettinen_nurminen(const Group& first, const Group& second,
                                           double confidence) {
  if (!are_valid(first, second, confidence)) return std::nullopt;
  const auto total = static_cast<double>(first.of + second.of);
  return score_interval(first, second, total / (total - 1), confidence);
}

std::optional<Interval> mee(const Group& first, const Group& second, double confidence) {
  if (!are_valid(first, second, confidence)) return std::nullopt;
  return score_interval(first, second, 1, confidence);
}

std::optional<WaldInterval> wald_difference(const Group& first, const Group& second,
                                            double confidence) {
  if (!are_valid(first, second, confidence)) return std::nullopt;
  const double p1 = share(first);
  const double p2 = share(second);
  const double reach =
      two_sided_z(confidence) * std::sqrt(p1 * (1 - p1) / static_cast<double>(first.of) +
                                          p2 * (1 - p2) / static_cast<double>(second.of));
  WaldInterval result;
  result.low = p1 - p2 - reach;
  result.high = p1 - p2 + reach;
  result.leaves_range = result.low < -1 || result.high > 1;
  return result;
}

}  // namespace budwood::statistics
