#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "statistics/rate.hpp"

namespace budwood::statistics {

class Thinning;

/// How many plants there will be: a probability for every number, carried through a plan. Start a
/// number, thin it at every stage that loses plants, take the smallest of the parts at a join that
/// takes one of each, and ask how likely it is that enough remain:
///
///   const Counts parts[] = {Counts::certain(130).thinned(scion),
///   Counts::certain(120).thinned(stock)}; Counts::smallest(parts).thinned(take).at_least(100)
///
/// Parts are taken to be independent, and so are stages; within one `thinned` all plants share one
/// rate. Thinning by two known rates is thinning by their product.
///
/// Every number keeps its own probability, exact to about 1e-12, as long as the work for that is
/// small: up to half a million plants at known rates, ten thousand where rates rest on a few
/// hundred counts. Beyond, numbers are put on a grid, each one's probability divided between the
/// two grid numbers beside it so that the mean is kept. The grid is finer than 1/64 of a standard
/// deviation of what a step gives; probabilities are then exact to about 1e-5.
class Counts {
 public:
  /// Exactly n plants; n is brought into 0 to `largest_count`.
  static Counts certain(std::int64_t n);

  /// The smallest of independent counts; 0 plants when there are none.
  static Counts smallest(std::span<const Counts> parts);

  /// What is left when each plant comes through at the rate.
  Counts thinned(const Rate& rate) const;

  /// floor(x * factor), for a stage that yields so many of each. Nothing when the factor is not
  /// above 0, or counts would leave `largest_count`.
  std::optional<Counts> multiplied(double factor) const;

  /// P(X >= m).
  double at_least(std::int64_t m) const;
  /// The smallest k with P(X <= k) >= share. Nothing unless 0 < share < 1.
  std::optional<std::int64_t> quantile(double share) const;
  double mean() const;
  double variance() const;
  /// Every number keeps its own probability.
  bool is_exact() const { return step_ == 1; }

 private:
  class Grid;

  Counts(std::int64_t lowest, std::int64_t step, std::vector<double> mass);

  Counts through(const Thinning& thinning) const;
  Counts number_by_number(const Thinning& thinning) const;
  Counts cell_by_cell(const Thinning& thinning) const;
  static Counts smaller(const Counts& a, const Counts& b);
  Counts on_grid(std::int64_t step) const;
  std::int64_t value(std::size_t index) const {
    const std::int64_t v = lowest_ + step_ * static_cast<std::int64_t>(index);
    return v < cap_ ? v : cap_;
  }
  std::int64_t highest() const { return lowest_ + step_ * (std::ssize(mass_) - 1); }

  std::int64_t lowest_ = 0;   // a multiple of step_
  std::int64_t step_ = 1;     // a power of two
  std::vector<double> mass_;  // of lowest_, lowest_ + step_, ...; never empty
  // No count is above it. Only on a grid: a part that is certain would be blurred there, just where
  // one asks about it.
  std::int64_t cap_;
};

}  // namespace budwood::statistics
