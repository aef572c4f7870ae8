/// How a number of plants spreads when it is thinned. Only for this module's .cpp files.
#pragma once

#include <cstdint>
#include <optional>

#include "statistics/rate.hpp"

namespace budwood::statistics {

/// X of x plants come through: binomial at a known share, or beta-binomial.
class Thinning {
 public:
  explicit Thinning(double share) : share_(share) {}
  explicit Thinning(const BetaShape& shape);

  double share() const { return share_; }
  double variance(double x) const;

  /// Not so where the density is infinite at an end, as after counts without a single failure.
  bool is_smooth() const { return !shape_ || (shape_->alpha >= 1 && shape_->beta >= 1); }

  /// The numbers around the likeliest one whose probability is not below 1e-18 of the largest.
  struct Range {
    std::int64_t from = 0;
    std::int64_t to = 0;
  };
  Range range(std::int64_t x) const;

  /// The likeliest of x plants.
  struct Peak {
    std::int64_t x = -1;
    std::int64_t mode = 0;
    double probability = 0;
    int since = 0;  ///< ratios since it was worked out from nothing
  };

  /// Calls add(k, P(X = k)) for every k in that range, through ratios of neighbours. `last` is
  /// where an earlier call of this thinning ended, or new: for an x just above that one the peak
  /// follows by ratios as well, some thirty times as fast.
  template <class Add>
  void spread(std::int64_t x, Peak& last, const Add& add) const {
    last = peak_of(x, last);
    const double peak = last.probability;
    add(last.mode, peak);
    double term = peak;
    for (std::int64_t k = last.mode; k < x; ++k) {
      term *= ratio_up(static_cast<double>(x), static_cast<double>(k));
      if (term <= peak * negligible) break;
      add(k + 1, term);
    }
    term = peak;
    for (std::int64_t k = last.mode; k > 0; --k) {
      term *= ratio_down(static_cast<double>(x), static_cast<double>(k));
      if (term <= peak * negligible) break;
      add(k - 1, term);
    }
  }

  /// P(X < t) for so many plants, a standard deviation of thousands, that X is as good as
  /// continuous: a normal curve at a known share, else a beta distribution with the mean and
  /// variance of X / x.
  double continuous_below(double x, double t) const;

 private:
  static constexpr double negligible = 1e-18;

  std::int64_t likeliest(std::int64_t x) const;
  Peak peak_of(std::int64_t x, const Peak& near) const;
  double exactly(std::int64_t x, std::int64_t k) const;
  /// P(X = k + 1) / P(X = k).
  double ratio_up(double x, double k) const {
    return shape_ ? (x - k) * (k + shape_->alpha) / ((k + 1) * (x - k - 1 + shape_->beta))
                  : (x - k) * share_ / ((k + 1) * (1 - share_));
  }
  /// P(X = k - 1) / P(X = k).
  double ratio_down(double x, double k) const {
    return shape_ ? k * (x - k + shape_->beta) / ((x - k + 1) * (k - 1 + shape_->alpha))
                  : k * (1 - share_) / ((x - k + 1) * share_);
  }
  /// P(X = k) of x + 1 plants / P(X = k) of x.
  double ratio_more(double x, double k) const {
    const double lost =
        shape_ ? (x - k + shape_->beta) / (x + shape_->alpha + shape_->beta) : 1 - share_;
    return (x + 1) / (x + 1 - k) * lost;
  }

  double share_ = 1;
  std::optional<BetaShape> shape_;
};

}  // namespace budwood::statistics
