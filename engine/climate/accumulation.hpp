#pragma once

#include <optional>
#include <vector>

#include "calendar/calendar.hpp"
#include "climate/chilling.hpp"
#include "climate/series.hpp"
#include "climate/thermal_time.hpp"

namespace budwood::climate {

/// Running totals of something that each day brings: degree-days, chill hours, Utah units.
///
/// A span that starts on day S and ends on day E holds the days S to E - 1, as a stage does. A
/// target that is missed by less than a thousand-millionth of itself counts as reached, so that ten
/// days of 9.5 degree-days make 95.
class Accumulation {
 public:
  /// What each day from `first` on brings. Nothing when there is no day, a value is not a finite
  /// number, or the days leave the calendar.
  static std::optional<Accumulation> from_days(calendar::Day first,
                                               const std::vector<double>& amounts);
  /// Thermal time in kelvin seconds.
  static std::optional<Accumulation> of_heat(const DailySeries& series, const HeatLimits& limits,
                                             DegreeDayMethod method);
  /// Hours or chill units.
  static std::optional<Accumulation> of_chilling(const DailySeries& series, const ChillRule& rule);

  calendar::Day first_day() const { return first_; }
  calendar::Day last_day() const { return first_ + static_cast<calendar::Day>(days()) - 1; }

  /// No day takes anything away. Then a later start never gives an earlier end, and both searches
  /// below take O(log n) steps; otherwise they look at each day in between.
  bool is_monotone() const { return monotone_; }

  /// What the days from `start` to `end` - 1 bring together; nothing when one of them is not known.
  std::optional<double> total(calendar::Day start, calendar::Day end) const;

  /// The earliest end by which a span that starts on `start` has brought `target`. Nothing when the
  /// known days do not bring it, or `start` is not one of them.
  std::optional<calendar::Day> end_of(calendar::Day start, double target) const;

  /// The latest start from which the span brings `target` by `end`. Nothing when the known days do
  /// not bring it, or `end` is later than the day after the last of them.
  std::optional<calendar::Day> latest_start(calendar::Day end, double target) const;

 private:
  Accumulation() = default;
  std::size_t days() const { return sums_.size() - 1; }
  std::optional<std::size_t> index_of(calendar::Day day) const;

  calendar::Day first_ = 0;
  std::vector<double> sums_;  // sums_[i] is what the first i days bring; one longer than the days
  bool monotone_ = true;
};

}  // namespace budwood::climate
