#pragma once

#include <optional>
#include <vector>

#include "climate/climate.hpp"
#include "network/network.hpp"

namespace budwood::sheet {

/// A stage that lasts until what the days bring, such as degree-days or chill hours, reaches a
/// target.
///
/// Sums that only grow give a later start no earlier end. Utah units can fall, and then they may:
/// such an end is put off to the end of the start before it, so that the promise of a monotone
/// length holds. The starts that are known are the first unbroken run of them.
class SeriesLength : public network::MonotoneLength {
 public:
  /// The end for a start is the day by which the sums reach `target` (in the unit of the sums), but
  /// not before start + `at_least_days`, and not after start + `at_most_days` when that is given:
  /// then nobody waits any longer. A target that is missed by less than a thousand-millionth of
  /// itself counts as reached, as it does for the sums.
  ///
  /// A start is not known when the known days do not bring the target, unless `at_most_days` ends
  /// the wait within them. If some start after the first known one is not known, which only sums
  /// that fall can do, neither is any start after it, whatever the sums say there.
  ///
  /// Nothing when no start is known, the target is not a finite number, `at_least_days` is below 0
  /// or longer than the calendar, or `at_most_days` is below `at_least_days`. O(n log n) for n
  /// days.
  static std::optional<SeriesLength> make(const climate::Accumulation& sums, double target,
                                          int at_least_days, std::optional<int> at_most_days);

  std::optional<calendar::Day> end_of(calendar::Day start) const override;
  std::optional<calendar::Day> latest_start(calendar::Day end) const override;

  calendar::Day first_start() const { return first_; }
  calendar::Day last_start() const { return first_ + static_cast<calendar::Day>(ends_.size()) - 1; }

 private:
  SeriesLength(calendar::Day first, std::vector<calendar::Day> ends);

  calendar::Day first_;
  std::vector<calendar::Day> ends_;  // by start from first_ on; never empty, never falling
};

}  // namespace budwood::sheet
