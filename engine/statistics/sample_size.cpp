#include "statistics/sample_size.hpp"

#include <cmath>

#include "statistics/binomial.hpp"
#include "statistics/normal.hpp"

namespace budwood::statistics {
namespace {

bool is_open_share(double value) {
  return value > 0 && value < 1;
}

bool are_shares(double p1, double p2) {
  return p1 >= 0 && p1 <= 1 && p2 >= 0 && p2 <= 1 && p1 != p2;
}

bool is_level(const Level& level) {
  return (level.sides == 1 || level.sides == 2) && is_open_share(level.risk);
}

double z_of(const Level& level) {
  return -normal_quantile(level.risk / level.sides);
}

double square(double value) {
  return value * value;
}

/// Standard deviations of a difference for one plant in each of two groups.
struct Deviations {
  double without_difference;
  double with_difference;
};

Deviations deviations(double p1, double p2) {
  const double pooled = (p1 + p2) / 2;
  return {std::sqrt(2 * pooled * (1 - pooled)), std::sqrt(p1 * (1 - p1) + p2 * (1 - p2))};
}

}  // namespace

std::optional<double> two_group_size(double p1, double p2, double power, const Level& level) {
  if (!are_shares(p1, p2) || !is_open_share(power) || !is_level(level)) return std::nullopt;
  const Deviations d = deviations(p1, p2);
  return square((z_of(level) * d.without_difference + normal_quantile(power) * d.with_difference) /
                (p1 - p2));
}

std::optional<double> two_group_power(double n, double p1, double p2, const Level& level) {
  if (!(n > 0 && std::isfinite(n)) || !are_shares(p1, p2) || !is_level(level)) return std::nullopt;
  const Deviations d = deviations(p1, p2);
  return normal_below((std::sqrt(n) * std::abs(p1 - p2) - z_of(level) * d.without_difference) /
                      d.with_difference);
}

}  // namespace budwood::statistics
