#include "statistics/intervals.hpp"

#include <cmath>

#include "statistics/binomial.hpp"
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

}  // namespace budwood::statistics
