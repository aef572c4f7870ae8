#include "statistics/spread/quantile.hpp"

#include <algorithm>
#include <cmath>

#include "statistics/binomial.hpp"

namespace budwood::statistics {

namespace {

/// Definition 8: the place of the quantile among values counted from 1 is (n + 1/3) p + 1/3.
double estimate(std::span<const double> values, double share) {
  const auto n = static_cast<double>(values.size());
  const double place = std::clamp((n + 1.0 / 3) * share + 1.0 / 3, 1.0, n);
  const auto below = static_cast<std::size_t>(std::floor(place));
  const double rest = place - std::floor(place);
  const double low = values[below - 1];
  return rest > 0 ? low + rest * (values[below] - low) : low;
}

}  // namespace

std::optional<QuantileEstimate> quantile_of(std::span<const double> ascending, double share,
                                            double confidence) {
  const bool finite = std::all_of(ascending.begin(), ascending.end(),
                                  [](double value) { return std::isfinite(value); });
  if (ascending.empty() || !finite || !(share > 0 && share < 1) ||
      !(confidence > 0 && confidence < 1)) {
    return std::nullopt;
  }
  const double tail = (1 - confidence) / 2;
  const auto n = static_cast<std::int64_t>(ascending.size());
  QuantileEstimate out;
  out.value = estimate(ascending, share);
  // The r-th value lies above the quantile when fewer than r of n are below it.
  for (std::int64_t r = 1; r <= n; ++r) {
    if (binomial_fewer_than(n, r, share) > tail) break;
    out.low = ascending[static_cast<std::size_t>(r - 1)];
  }
  for (std::int64_t s = n; s >= 1; --s) {
    if (binomial_at_least(n, s, share) > tail) break;
    out.high = ascending[static_cast<std::size_t>(s - 1)];
  }
  return out;
}

double chance_between_extremes(std::size_t n) {
  return n < 2 ? 0 : (static_cast<double>(n) - 1) / (static_cast<double>(n) + 1);
}

}  // namespace budwood::statistics
