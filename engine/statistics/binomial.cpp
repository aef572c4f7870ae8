#include "statistics/binomial.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>
#include <limits>

#include "statistics/boost_policy.hpp"
#include "statistics/integer_search.hpp"
#include "statistics/normal.hpp"
#include "statistics/refusal.hpp"

namespace budwood::statistics {
namespace {

bool is_share(double p) {
  return p >= 0 && p <= 1;
}

}  // namespace

double binomial_at_least(std::int64_t n, std::int64_t m, double p) {
  if (!is_count(n) || !is_share(p)) return refused;
  if (m <= 0) return 1;
  if (m > n) return 0;
  return boost::math::ibeta(static_cast<double>(m), static_cast<double>(n - m + 1), p, Quiet());
}

double binomial_fewer_than(std::int64_t n, std::int64_t m, double p) {
  if (!is_count(n) || !is_share(p)) return refused;
  if (m <= 0) return 0;
  if (m > n) return 1;
  return boost::math::ibetac(static_cast<double>(m), static_cast<double>(n - m + 1), p, Quiet());
}

double binomial_exactly(std::int64_t n, std::int64_t k, double p) {
  if (!is_count(n) || !is_share(p)) return refused;
  if (k < 0 || k > n) return 0;
  if (p == 0) return k == 0 ? 1 : 0;
  if (p == 1) return k == n ? 1 : 0;
  // p^k (1 - p)^(n - k) / B(k + 1, n - k + 1) is the density; the binomial coefficient is 1 / ((n +
  // 1) B(k + 1, n - k + 1)).
  return boost::math::ibeta_derivative(static_cast<double>(k + 1), static_cast<double>(n - k + 1),
                                       p, Quiet()) /
         static_cast<double>(n + 1);
}

std::optional<std::int64_t> binomial_quantile(std::int64_t n, double p, double share) {
  if (!is_count(n) || !is_share(p) || !(share > 0 && share < 1)) return std::nullopt;
  const double mean = static_cast<double>(n) * p;
  const double z = normal_quantile(share);
  const double guess = mean + z * std::sqrt(mean * (1 - p)) + (1 - 2 * p) * (z * z - 1) / 6 - 0.5;
  // Each tail is compared where it is the small one, so that neither is rounded away.
  return smallest_reaching(0, n, guess, [&](std::int64_t k) {
    return share < 0.5 ? binomial_fewer_than(n, k + 1, p) >= share * (1 - 1e-11)
                       : binomial_at_least(n, k + 1, p) <= (1 - share) * (1 + 1e-11);
  });
}

}  // namespace budwood::statistics
