#include "statistics/intervals.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>

#include "statistics/binomial.hpp"
#include "statistics/boost_policy.hpp"
#include "statistics/normal.hpp"

namespace budwood::statistics {
namespace {

bool is_count_of(std::int64_t x, std::int64_t n) {
  return x >= 0 && x <= n && n >= 1 && n <= largest_count;
}

bool is_confidence(double confidence) {
  return confidence > 0 && confidence < 1;
}

}  // namespace

std::optional<Interval> wilson_for_z(std::int64_t x, std::int64_t n, double z) {
  if (!is_count_of(x, n) || !(z > 0 && std::isfinite(z))) return std::nullopt;
  const auto count = static_cast<double>(n);
  const double p = static_cast<double>(x) / count;
  const double centre = p + z * z / (2 * count);
  const double reach = z * std::sqrt(p * (1 - p) / count + z * z / (4 * count * count));
  const double scale = 1 + z * z / count;
  return Interval{x == 0 ? 0 : (centre - reach) / scale, x == n ? 1 : (centre + reach) / scale};
}

std::optional<Interval> wilson(std::int64_t x, std::int64_t n, double confidence) {
  if (!is_confidence(confidence)) return std::nullopt;
  return wilson_for_z(x, n, two_sided_z(confidence));
}

std::optional<Interval> wilson_corrected(std::int64_t x, std::int64_t n, double confidence) {
  if (!is_count_of(x, n) || !is_confidence(confidence)) return std::nullopt;
  const double z = two_sided_z(confidence);
  const auto count = static_cast<double>(n);
  const double p = static_cast<double>(x) / count;
  const double q = 1 - p;
  const double twice = 2 * (count + z * z);
  const double centre = 2 * count * p + z * z;
  // Under the roots: z^2 - 2 - 1/n + 4 p (n q + 1) and z^2 + 2 - 1/n + 4 p (n q - 1).
  const double below = z * z - 2 - 1 / count + 4 * p * (count * q + 1);
  const double above = z * z + 2 - 1 / count + 4 * p * (count * q - 1);
  const double low = (centre - 1 - z * std::sqrt(std::max(below, 0.0))) / twice;
  const double high = (centre + 1 + z * std::sqrt(std::max(above, 0.0))) / twice;
  return Interval{x == 0 ? 0 : std::max(low, 0.0), x == n ? 1 : std::min(high, 1.0)};
}

std::optional<Interval> clopper_pearson(std::int64_t x, std::int64_t n, double confidence) {
  if (!is_count_of(x, n) || !is_confidence(confidence)) return std::nullopt;
  const double tail = (1 - confidence) / 2;
  const auto good = static_cast<double>(x);
  const auto bad = static_cast<double>(n - x);
  return Interval{x == 0 ? 0 : boost::math::ibeta_inv(good, bad + 1, tail, Quiet()),
                  x == n ? 1 : boost::math::ibetac_inv(good + 1, bad, tail, Quiet())};
}

std::optional<WaldInterval> wald(std::int64_t x, std::int64_t n, double confidence) {
  if (!is_count_of(x, n) || !is_confidence(confidence)) return std::nullopt;
  const auto count = static_cast<double>(n);
  const double p = static_cast<double>(x) / count;
  const double reach = two_sided_z(confidence) * std::sqrt(p * (1 - p) / count);
  WaldInterval result;
  result.low = p - reach;
  result.high = p + reach;
  result.leaves_range = result.low < 0 || result.high > 1;
  return result;
}

}  // namespace budwood::statistics
