#include "statistics/spread/scatter.hpp"

#include <algorithm>
#include <cmath>

#include "statistics/binomial.hpp"
#include "statistics/comparing/student.hpp"
#include "statistics/normal.hpp"
#include "statistics/refusal.hpp"

namespace budwood::statistics {
namespace {

/// The sums that every estimator here is made of, over groups that have plants in them.
struct Sums {
  double groups = 0;
  double good = 0;            ///< sum of y
  double plants = 0;          ///< sum of n
  double plants_squared = 0;  ///< sum of n^2
  double misses = 0;          ///< sum of (y - n p)^2

  double share() const { return good / plants; }
  double binomial() const { return share() * (1 - share()); }
};

std::optional<Sums> sums_of(std::span<const Group> groups) {
  Sums s;
  for (const Group& g : groups) {
    if (!is_count(g.good) || !is_count(g.of) || g.good > g.of) return std::nullopt;
    if (g.of == 0) continue;
    const auto y = static_cast<double>(g.good);
    const auto n = static_cast<double>(g.of);
    ++s.groups;
    s.good += y;
    s.plants += n;
    s.plants_squared += n * n;
  }
  if (s.groups < 2 || s.good == 0 || s.good == s.plants) return std::nullopt;
  for (const Group& g : groups) {
    const double miss = static_cast<double>(g.good) - static_cast<double>(g.of) * s.share();
    s.misses += miss * miss;
  }
  return s;
}

}  // namespace

Group all_of(std::span<const Group> groups) {
  Group all;
  for (const Group& g : groups) {
    all.good += g.good;
    all.of += g.of;
  }
  return all;
}

std::optional<TaroneTest> tarone_test(std::span<const Group> groups) {
  const auto s = sums_of(groups);
  if (!s || s->plants <= s->groups) return std::nullopt;
  TaroneTest test;
  test.z = (s->misses / s->binomial() - s->plants) / std::sqrt(2 * (s->plants_squared - s->plants));
  test.p = normal_below(-test.z);
  return test;
}

std::optional<double> share_variance(std::span<const Group> groups) {
  const auto s = sums_of(groups);
  if (!s) return std::nullopt;
  return s->groups / (s->groups - 1) * s->misses / (s->plants * s->plants);
}

std::optional<double> design_effect(std::span<const Group> groups) {
  const auto s = sums_of(groups);
  if (!s) return std::nullopt;
  return *share_variance(groups) / (s->binomial() / s->plants);
}

std::optional<Interval> scattered_interval(std::span<const Group> groups, double confidence) {
  for (const Group& g : groups) {
    if (!is_count(g.good) || !is_count(g.of) || g.good > g.of) return std::nullopt;
  }
  const Group all = all_of(groups);
  if (all.of == 0 || !(confidence > 0 && confidence < 1)) return std::nullopt;
  const auto s = sums_of(groups);
  if (!s) return wilson(all.good, all.of, confidence);
  const double n = s->plants / std::max(*design_effect(groups), 1.0);
  const double t = two_sided_t(confidence, s->groups - 1);
  const double p = s->share();
  const double scale = 1 + t * t / n;
  const double centre = p + t * t / (2 * n);
  const double reach = t * std::sqrt(p * (1 - p) / n + t * t / (4 * n * n));
  return Interval{(centre - reach) / scale, (centre + reach) / scale};
}

double planned_design_effect(double m, double likeness) {
  return 1 + (m - 1) * std::max(likeness, 0.0);
}

}  // namespace budwood::statistics
