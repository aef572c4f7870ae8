#include "sheet/dates/series_length.hpp"
#include "units/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace budwood::sheet {

using calendar::Day;

namespace {

/// What the days before each day bring together; one longer than the days.
std::vector<double> running_totals(const climate::Accumulation& sums) {
  std::vector<double> totals;
  for (Day end = sums.first_day(); end <= sums.last_day() + 1; ++end) {
    totals.push_back(*sums.total(sums.first_day(), end));
  }
  return totals;
}

/// For each day the earliest one from it on at which the totals are higher by `target`. Days are
/// counted from the first.
std::vector<std::optional<Day>> days_of_reaching(const std::vector<double>& totals, double target) {
  const double wanted = target - units::slack(target, 0);
  std::vector<std::optional<Day>> reached(totals.size() - 1);
  // Looking ahead from a day, a total is reached first on a day that is higher than all before it.
  // Those days, the nearest at the back, so that their totals fall from the front to the back.
  std::vector<std::size_t> peaks;
  for (std::size_t i = totals.size(); i-- > 0;) {
    while (!peaks.empty() && totals[peaks.back()] <= totals[i]) peaks.pop_back();
    peaks.push_back(i);
    if (i == reached.size()) continue;  // nobody starts on the day after the last
    const double goal = totals[i] + wanted;
    const auto lower = std::partition_point(peaks.begin(), peaks.end(),
                                            [&](std::size_t peak) { return totals[peak] >= goal; });
    if (lower != peaks.begin()) reached[i] = static_cast<Day>(*(lower - 1));
  }
  return reached;
}

}  // namespace

SeriesLength::SeriesLength(Day first, std::vector<Day> ends)
    : first_(first), ends_(std::move(ends)) {}

std::optional<SeriesLength> SeriesLength::make(const climate::Accumulation& sums, double target,
                                               int at_least_days, std::optional<int> at_most_days) {
  constexpr int calendar_length = calendar::last_day - calendar::first_day + 1;
  if (!std::isfinite(target) || at_least_days < 0 || at_least_days > calendar_length) {
    return std::nullopt;
  }
  if (at_most_days && *at_most_days < at_least_days) return std::nullopt;
  const std::vector<std::optional<Day>> reached = days_of_reaching(running_totals(sums), target);
  const Day days = static_cast<Day>(reached.size());
  Day first = 0;
  std::vector<Day> ends;
  for (Day start = 0; start < days; ++start) {
    std::optional<Day> end = reached[static_cast<std::size_t>(start)];
    if (end) end = std::max(*end, start + at_least_days);
    // A longer wait than the series has days never ends it, and could not be added to a day.
    if (at_most_days && *at_most_days <= days) {
      const Day last = start + *at_most_days;
      if (end ? *end > last : last <= days) end = last;
    }
    if (!end && !ends.empty()) break;
    if (!end) continue;
    if (ends.empty()) first = sums.first_day() + start;
    const Day day = sums.first_day() + *end;
    ends.push_back(ends.empty() ? day : std::max(day, ends.back()));
  }
  if (ends.empty()) return std::nullopt;
  return SeriesLength(first, std::move(ends));
}

std::optional<Day> SeriesLength::end_of(Day start) const {
  if (start < first_ || start > last_start()) return std::nullopt;
  return ends_[static_cast<std::size_t>(start - first_)];
}

std::optional<Day> SeriesLength::latest_start(Day end) const {
  const auto later = std::upper_bound(ends_.begin(), ends_.end(), end);
  if (later == ends_.begin()) return std::nullopt;
  return first_ + static_cast<Day>(later - ends_.begin()) - 1;
}

}  // namespace budwood::sheet
