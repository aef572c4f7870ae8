#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "statistics/rate.hpp"

namespace budwood::statistics {

/// How many plants there will be: a probability for every number, as it runs through a plan. Start a
/// number, thin it at every stage that loses plants, take the smallest of the parts at a join that
/// takes one of each, and ask how likely it is that enough remain:
///
///   const auto scion = Counts::certain(130).thinned(scion_rate);
///   const auto stock = Counts::certain(120).thinned(stock_rate);
///   Counts::smallest({scion, stock}).thinned(take).at_least(100)
///
/// Parts are taken to be independent, and so are stages, save that one `thinned` draws one rate for all
/// plants. Thinning twice is the same as thinning once by the product of two known rates.
///
/// Exact up to rounding (absolute error below 1e-12) as long as the probabilities that matter are few:
/// to about half a million plants at known rates, to about 10 000 where a rate rests on a few hundred
/// counts. Beyond, neighbouring numbers are put together on a grid of a power of two, each one's
/// probability divided between the two grid numbers beside it so that the mean is kept; the grid is
/// finer than 1/40 of a standard deviation of what comes out of a step, and the error of a probability
/// stays below 1e-4, mostly far below.
class Counts {
 public:
  /// Exactly n plants. Nothing outside 0 to `largest_count`.
  static std::optional<Counts> of(std::int64_t n);
  /// As `of` for a number that is known to be in order; a refused number counts as 0.
  static Counts certain(std::int64_t n);

  /// The smallest of independent counts, as after a join that takes one of each; 0 when there is none.
  static Counts smallest(std::span<const Counts> parts);

  /// What is left when each plant comes through at the rate.
  Counts thinned(const Rate& rate) const;

  /// floor(x * factor), for a stage that yields so many of each. Nothing when the factor is not above
  /// 0, or counts would leave `largest_count`.
  std::optional<Counts> multiplied(double factor) const;

  /// P(X >= m).
  double at_least(std::int64_t m) const;
  /// The smallest k with P(X <= k) >= share. Nothing unless 0 < share < 1.
  std::optional<std::int64_t> quantile(double share) const;
  double mean() const;
  double standard_deviation() const;
  /// Probabilities are kept for every number, not put together on a grid.
  bool is_exact() const { return step_ == 1; }

 private:
  struct Kernel;

  Counts(std::int64_t lowest, std::int64_t step, std::vector<double> mass);

  static Counts smaller(const Counts& a, const Counts& b);
  Counts on_grid(std::int64_t step) const;
  Counts with_at_most(std::size_t points) const;
  Counts through(const Kernel& kernel) const;
  std::int64_t highest() const {
    return lowest_ + step_ * (static_cast<std::int64_t>(mass_.size()) - 1);
  }

  std::int64_t lowest_ = 0;  // a multiple of step_
  std::int64_t step_ = 1;    // a power of two
  std::vector<double> mass_;  // of lowest_, lowest_ + step_, ...; never empty
};

}  // namespace budwood::statistics
