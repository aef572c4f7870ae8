#include "statistics/assurance.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>
#include <limits>

#include "statistics/beta_binomial.hpp"
#include "statistics/binomial.hpp"
#include "statistics/boost_policy.hpp"
#include "statistics/integer_search.hpp"
#include "statistics/normal.hpp"

namespace budwood::statistics {
namespace {

bool is_order(std::int64_t m) {
  return m >= 0 && m <= largest_count;
}

/// n for which m lies at the wanted quantile of a normal curve with a correction for skewness
/// (Cornish & Fisher 1938) and for counting in whole plants: m - 1/2 = n p - z sqrt(n p q) + (q -
/// p)(z^2 - 1)/6.
double normal_start(double m, double p, double z) {
  const double wanted = m - 0.5 - (1 - 2 * p) * (z * z - 1) / 6;
  const double spread = z * std::sqrt(p * (1 - p));
  const double root = spread + std::sqrt(std::max(spread * spread + 4 * p * wanted, 0.0));
  return root * root / (4 * p * p);
}

/// Whether P(X >= m) >= assurance for X ~ Binomial(n, p), decided on the smaller tail: quickly when
/// it is clear, else in full precision.
bool reaches(double n, double m, double p, double assurance) {
  const bool lower = assurance >= 0.5;
  const double limit = lower ? 1 - assurance : assurance;
  const auto tail = [&](auto policy) {
    return lower ? boost::math::ibetac(m, n - m + 1, p, policy)
                 : boost::math::ibeta(m, n - m + 1, p, policy);
  };
  double value = tail(Fast());
  if (!(std::abs(value - limit) > 1e-7 * limit)) value = tail(Quiet());
  return lower ? value <= limit * (1 + 1e-11) : value >= limit * (1 - 1e-11);
}

std::optional<std::int64_t> start_at_known_rate(std::int64_t m, double p, double assurance) {
  if (p == 1) return m;
  const auto order = static_cast<double>(m);
  const double guess = normal_start(order, p, normal_quantile(assurance));
  return smallest_reaching(m, largest_count, guess, [&](std::int64_t n) {
    return reaches(static_cast<double>(n), order, p, assurance);
  });
}

std::optional<std::int64_t> start_at_counted_rate(std::int64_t m, const Rate& rate,
                                                  double assurance) {
  const auto order = static_cast<double>(m);
  const double z = normal_quantile(assurance);
  const double at_mean = order / rate.mean();
  // Both scatters move the number away from the mean; independent ones add up as squares.
  const double low_rate =
      rate.factor() * boost::math::ibeta_inv(rate.uncertain()->alpha, rate.uncertain()->beta,
                                             1 - assurance, Fast());
  const double by_rate = order / low_rate - at_mean;
  const double by_chance = normal_start(order, rate.mean(), z) - at_mean;
  const double guess = at_mean + std::copysign(std::hypot(by_rate, by_chance), z);
  return smallest_scoring(m, largest_count, guess, [&](std::int64_t n) {
    const bool lower = assurance >= 0.5;
    const double tail = lower ? predicted_fewer_than(n, m, rate) : predicted_at_least(n, m, rate);
    if (tail <= 0) return lower ? HUGE_VAL : -HUGE_VAL;
    if (tail >= 1) return lower ? -HUGE_VAL : HUGE_VAL;
    return (lower ? -normal_quantile(tail) : normal_quantile(tail)) - z + 1e-9;
  });
}

}  // namespace

std::optional<std::int64_t> smallest_start(std::int64_t m, const Rate& rate, double assurance) {
  if (!is_order(m) || !(assurance > 0 && assurance < 1) || rate.factor() == 0) return std::nullopt;
  if (m == 0) return 0;
  if (rate.is_known()) return start_at_known_rate(m, rate.factor(), assurance);
  return start_at_counted_rate(m, rate, assurance);
}

std::optional<std::int64_t> smallest_start(std::int64_t m, double rate, double assurance) {
  const auto known = Rate::known(rate);
  return known ? smallest_start(m, *known, assurance) : std::nullopt;
}

double assurance_of_each(double assurance, int chains) {
  if (!(assurance > 0 && assurance < 1) || chains < 1) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  return std::pow(assurance, 1.0 / chains);
}

}  // namespace budwood::statistics
