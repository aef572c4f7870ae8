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
/// Exact to about 1e-12 as long as thinning sums no more than 20 million probabilities: for a join
/// of parts at known rates with a chain after it up to some 200 000 plants, with rates from a few
/// hundred counts up to some 10 000. Beyond that, groups of neighbouring numbers, narrower than
/// half of what the thinning scatters each of them, are put into two numbers with the same mean and
/// variance; and what then would spread over too many numbers is kept on a grid of a power of two.
/// Up to ten million plants probabilities are then exact to about 3e-5; to about 5e-4 where a rate
/// that thins many numbers rests on counts without a single failure or success.
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

 private:
  class Grid;
  struct Group;

  Counts(std::int64_t lowest, std::int64_t step, std::vector<double> mass);

  static Counts smaller(const Counts& a, const Counts& b);
  static Counts number_by_number(std::span<const Group> groups, const Thinning& thinning);
  static Counts cell_by_cell(std::span<const Group> groups, const Thinning& thinning);
  Counts through(const Thinning& thinning) const;
  std::vector<Group> groups(double widest) const;
  Counts at_step(std::int64_t step) const;

  std::int64_t on_grid(std::size_t index) const {
    return lowest_ + step_ * static_cast<std::int64_t>(index);
  }
  std::int64_t value(std::size_t index) const {
    return on_grid(index) < cap_ ? on_grid(index) : cap_;
  }
  std::int64_t highest() const { return on_grid(mass_.size() - 1); }

  std::int64_t lowest_ = 0;  // a multiple of step_
  std::int64_t step_ =
      1;  // a power of two; above 1, a mass stands for a tent one step to each side
  std::vector<double> mass_;  // of lowest_, lowest_ + step_, ...; never empty
  // No count is above it. Only set on a grid that is too coarse for a part that is certain: it
  // would be blurred just where one asks about it.
  std::int64_t cap_;
};

}  // namespace budwood::statistics
