#include "statistics/beta_binomial.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>
#include <limits>
#include <numbers>

#include "statistics/binomial.hpp"
#include "statistics/boost_policy.hpp"
#include "statistics/integer_search.hpp"
#include "statistics/normal.hpp"
#include "statistics/refusal.hpp"

namespace budwood::statistics {
namespace {

constexpr double most_terms = 16384;  // of a sum, before quadrature is the quicker way

struct Tails {
  double below = 0;     ///< P(X < m)
  double at_least = 0;  ///< P(X >= m)
};

bool is_shape(const BetaShape& s) {
  return s.alpha > 0 && s.beta > 0 && std::isfinite(s.alpha) && std::isfinite(s.beta);
}

/// P(X = k - 1) / P(X = k).
double ratio_down(double n, double k, const BetaShape& s) {
  return k * (n - k + s.beta) / ((n - k + 1) * (k - 1 + s.alpha));
}

/// Sums P(X = k) from m - 1 down, or from m up: the side of m that the mean is not on, where terms
/// fall.
Tails summed(std::int64_t count, std::int64_t m, const BetaShape& s) {
  const auto n = static_cast<double>(count);
  const bool downwards = static_cast<double>(m) <= n * s.alpha / (s.alpha + s.beta);
  const std::int64_t first = downwards ? m - 1 : m;
  double term = beta_binomial_exactly(count, first, s);
  double sum = term;
  if (downwards) {
    for (auto k = static_cast<double>(first); k >= 1 && term > sum * 1e-18; --k) {
      term *= ratio_down(n, k, s);
      sum += term;
    }
    return {sum, 1 - sum};
  }
  for (auto k = static_cast<double>(first); k < n && term > sum * 1e-18; ++k) {
    term /= ratio_down(n, k + 1, s);
    sum += term;
  }
  return {1 - sum, sum};
}

/// E[f(V)] for V ~ Beta(shape), f smooth where V varies. With v = sin^2 x the density is
/// sin^(2 alpha - 1) x cos^(2 beta - 1) x, smooth also for alpha or beta of 1/2, and of nearly the
/// same width 1 / (2 sqrt(alpha + beta)) everywhere. Its constant cancels because weights are
/// normalised. `sharper` is how many times sharper than the density f bends.
template <class Function>
double mean_over_beta(const BetaShape& s, double sharper, const Function& f) {
  using Rule = boost::math::quadrature::gauss<double, 16>;
  const int panels = static_cast<int>(std::clamp(std::ceil(4 * sharper), 4.0, 4000.0));
  const double centre = std::asin(std::sqrt(s.alpha / (s.alpha + s.beta)));
  const double reach = 10.5 / (2 * std::sqrt(s.alpha + s.beta));
  const double from = std::max(centre - reach, 0.0);
  const double to = std::min(centre + reach, std::numbers::pi / 2);
  const double half = (to - from) / (2 * panels);
  double weights = 0;
  double total = 0;
  const auto add = [&](double angle, double weight) {
    const double d = angle - centre;
    const double sine = std::sin(d);
    const double versine = 2 * std::sin(d / 2) * std::sin(d / 2);
    const double log_density = (2 * s.alpha - 1) * std::log1p(sine / std::tan(centre) - versine) +
                               (2 * s.beta - 1) * std::log1p(-sine * std::tan(centre) - versine);
    weight *= std::exp(log_density);
    if (!(weight > 0)) return;
    weights += weight;
    total += weight * f(std::sin(angle) * std::sin(angle));
  };
  for (int panel = 0; panel < panels; ++panel) {
    const double middle = from + (2 * panel + 1) * half;
    for (std::size_t i = 0; i < Rule::abscissa().size(); ++i) {
      add(middle - half * Rule::abscissa()[i], Rule::weights()[i]);
      add(middle + half * Rule::abscissa()[i], Rule::weights()[i]);
    }
  }
  return total / weights;
}

double beta_above(const BetaShape& s, double v) {
  return v >= 1 ? 0 : boost::math::ibetac(s.alpha, s.beta, v, Fast());
}

/// P(X >= m) is P(V < rate) for V ~ Beta(m, n - m + 1), the m-th of n uniform numbers, whether it
/// is taken over V or over the rate: over the narrower of the two the other one's tail is smooth.
Tails integrated(std::int64_t n, std::int64_t m, double factor, const BetaShape& s) {
  const BetaShape v{static_cast<double>(m), static_cast<double>(n - m + 1)};
  const double top_of_v = std::sin(std::min(
      std::asin(std::sqrt(v.alpha / (v.alpha + v.beta))) + 10.5 / (2 * std::sqrt(v.alpha + v.beta)),
      std::numbers::pi / 2));
  // At the largest possible rate the tail over V may have a kink.
  const bool v_stays_below_factor = factor == 1 || top_of_v * top_of_v < factor;
  const bool v_is_narrower = v.alpha + v.beta > s.alpha + s.beta;
  double at_least = 0;
  if (v_is_narrower && v_stays_below_factor) {
    at_least = mean_over_beta(v, 1, [&](double x) { return beta_above(s, x / factor); });
  } else {
    const double sharper = std::sqrt((v.alpha + v.beta) / (s.alpha + s.beta));
    at_least = mean_over_beta(s, sharper, [&](double rate) {
      return boost::math::ibeta(v.alpha, v.beta, factor * rate, Fast());
    });
  }
  at_least = std::clamp(at_least, 0.0, 1.0);
  return {1 - at_least, at_least};
}

Tails tails(std::int64_t n, std::int64_t m, const Rate& rate) {
  if (!is_count(n)) return {refused, refused};
  if (m <= 0) return {0, 1};
  if (m > n || rate.factor() == 0) return {1, 0};
  if (rate.is_known()) {
    return {binomial_fewer_than(n, m, rate.factor()), binomial_at_least(n, m, rate.factor())};
  }
  const BetaShape& shape = *rate.uncertain();
  if (rate.factor() == 1) {
    const auto count = static_cast<double>(n);
    const double deviation =
        std::sqrt(count * rate.mean() * (1 - rate.mean()) + count * count * rate.variance());
    const bool downwards = static_cast<double>(m) <= count * rate.mean();
    const auto side = static_cast<double>(downwards ? m : n - m + 1);
    if (std::min(side, 12 * deviation) <= most_terms) return summed(n, m, shape);
  }
  return integrated(n, m, rate.factor(), shape);
}

}  // namespace

double beta_binomial_exactly(std::int64_t n, std::int64_t k, const BetaShape& shape) {
  if (!is_count(n) || !is_shape(shape)) return refused;
  if (k < 0 || k > n) return 0;
  // Bayes' rule read backwards: P(k) = P(k | x) prior(x) / posterior(x), the same for every rate x.
  // Taken at the posterior mean none of the three is extreme.
  const double good = static_cast<double>(k);
  const double bad = static_cast<double>(n - k);
  const double x = (good + shape.alpha) / (good + bad + shape.alpha + shape.beta);
  const double posterior =
      boost::math::ibeta_derivative(good + shape.alpha, bad + shape.beta, x, Quiet());
  const double prior = boost::math::ibeta_derivative(shape.alpha, shape.beta, x, Quiet());
  return binomial_exactly(n, k, x) * prior / posterior;
}

double predicted_at_least(std::int64_t n, std::int64_t m, const Rate& rate) {
  return tails(n, m, rate).at_least;
}

double predicted_fewer_than(std::int64_t n, std::int64_t m, const Rate& rate) {
  return tails(n, m, rate).below;
}

std::optional<std::int64_t> predicted_quantile(std::int64_t n, const Rate& rate, double share) {
  if (rate.is_known()) return binomial_quantile(n, rate.factor(), share);
  if (!is_count(n) || !(share > 0 && share < 1)) return std::nullopt;
  const auto count = static_cast<double>(n);
  const double deviation =
      std::sqrt(count * rate.mean() * (1 - rate.mean()) + count * count * rate.variance());
  const double guess = count * rate.mean() + normal_quantile(share) * deviation - 0.5;
  return smallest_reaching(0, n, guess, [&](std::int64_t k) {
    return predicted_fewer_than(n, k + 1, rate) >= share * (1 - 1e-10);
  });
}

}  // namespace budwood::statistics
