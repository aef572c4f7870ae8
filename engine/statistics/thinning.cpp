#include "statistics/thinning.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>

#include "statistics/beta_binomial.hpp"
#include "statistics/binomial.hpp"
#include "statistics/boost_policy.hpp"
#include "statistics/normal.hpp"

namespace budwood::statistics {

Thinning::Thinning(const BetaShape& shape)
    : share_(shape.alpha / (shape.alpha + shape.beta)), shape_(shape) {}

double Thinning::variance(double x) const {
  const double binomial = x * share_ * (1 - share_);
  if (!shape_) return binomial;
  const double total = shape_->alpha + shape_->beta;
  return binomial * (total + x) / (total + 1);
}

Thinning::Range Thinning::range(std::int64_t x) const {
  Range range{x, 0};
  Peak peak;
  spread(x, peak, [&](std::int64_t k, double) {
    range.from = std::min(range.from, k);
    range.to = std::max(range.to, k);
  });
  return range;
}

double Thinning::continuous_below(double x, double t) const {
  if (t <= 0) return 0;
  if (t >= x) return 1;
  if (!shape_) return normal_below((t - x * share_) / std::sqrt(variance(x)));
  const double total = share_ * (1 - share_) * x * x / variance(x) - 1;
  return boost::math::ibeta(share_ * total, (1 - share_) * total, t / x, Fast());
}

std::int64_t Thinning::likeliest(std::int64_t x) const {
  double mode = (static_cast<double>(x) + 1) * share_;
  if (shape_) {
    // Without a peak inside, at least one end is one, and nothing falls off on the way to the
    // other.
    if (shape_->alpha <= 1) return 0;
    if (shape_->beta <= 1) return x;
    mode = (static_cast<double>(x) + 1) * (shape_->alpha - 1) / (shape_->alpha + shape_->beta - 2);
  }
  return std::clamp<std::int64_t>(static_cast<std::int64_t>(mode), 0, x);
}

Thinning::Peak Thinning::peak_of(std::int64_t x, const Peak& near) const {
  constexpr std::int64_t near_enough = 16;
  constexpr int most_ratios = 256;  // which leaves 13 digits
  const std::int64_t mode = likeliest(x);
  const bool follows = near.x >= 0 && near.x <= x && near.mode <= mode &&
                       x - near.x + mode - near.mode <= near_enough && near.since < most_ratios;
  if (!follows) return {x, mode, exactly(x, mode), 0};
  Peak peak = near;
  for (; peak.x < x; ++peak.x, ++peak.since) {
    peak.probability *= ratio_more(static_cast<double>(peak.x), static_cast<double>(peak.mode));
  }
  for (; peak.mode < mode; ++peak.mode, ++peak.since) {
    peak.probability *= ratio_up(static_cast<double>(x), static_cast<double>(peak.mode));
  }
  return peak;
}

double Thinning::exactly(std::int64_t x, std::int64_t k) const {
  return shape_ ? beta_binomial_exactly(x, k, *shape_) : binomial_exactly(x, k, share_);
}

}  // namespace budwood::statistics
