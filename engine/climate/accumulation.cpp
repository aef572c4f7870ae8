#include "climate/accumulation.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::climate {

using calendar::Day;

namespace {

double with_slack(double target) {
  return target - 1e-9 * std::abs(target);
}

template <class AmountOfDay>
std::vector<double> amounts_of(const DailySeries& series, const AmountOfDay& amount) {
  std::vector<double> amounts;
  amounts.reserve(series.temperatures().size());
  for (const DayTemperature& day : series.temperatures()) {
    amounts.push_back(amount(day.minimum, day.maximum));
  }
  return amounts;
}

}  // namespace

std::optional<Accumulation> Accumulation::from_days(Day first, const std::vector<double>& amounts) {
  if (amounts.empty() || first < calendar::first_day || first > calendar::last_day) {
    return std::nullopt;
  }
  const auto room = static_cast<std::size_t>(calendar::last_day - first) + 1;
  if (amounts.size() > room) return std::nullopt;
  Accumulation result;
  result.first_ = first;
  result.sums_.reserve(amounts.size() + 1);
  result.sums_.push_back(0);
  // Compensated summation (Neumaier 1974): over centuries of days plain sums would drift by more
  // than the slack of a target.
  double sum = 0;
  double lost = 0;
  for (const double amount : amounts) {
    if (!std::isfinite(amount)) return std::nullopt;
    const double next = sum + amount;
    lost += std::abs(sum) >= std::abs(amount) ? (sum - next) + amount : (amount - next) + sum;
    sum = next;
    result.sums_.push_back(sum + lost);
    if (amount < 0) result.monotone_ = false;
  }
  if (!std::isfinite(sum)) return std::nullopt;
  return result;
}

std::optional<Accumulation> Accumulation::of_heat(const DailySeries& series,
                                                  const HeatLimits& limits,
                                                  DegreeDayMethod method) {
  return from_days(series.first_day(), amounts_of(series, [&](double minimum, double maximum) {
                     return thermal_time_of_day(minimum, maximum, limits, method);
                   }));
}

std::optional<Accumulation> Accumulation::of_chilling(const DailySeries& series,
                                                      const ChillRule& rule) {
  return from_days(series.first_day(), amounts_of(series, [&](double minimum, double maximum) {
                     return chilling_of_day(minimum, maximum, rule);
                   }));
}

std::optional<std::size_t> Accumulation::index_of(Day day) const {
  if (day < first_ || day > last_day() + 1) return std::nullopt;
  return static_cast<std::size_t>(day - first_);
}

std::optional<double> Accumulation::total(Day start, Day end) const {
  const auto from = index_of(start);
  const auto to = index_of(end);
  if (!from || !to || *from > *to) return std::nullopt;
  return sums_[*to] - sums_[*from];
}

std::optional<Day> Accumulation::end_of(Day start, double target) const {
  const auto from = index_of(start);
  if (!from || *from == days() || !std::isfinite(target)) return std::nullopt;
  const double wanted = sums_[*from] + with_slack(target);
  const auto begin = sums_.begin() + static_cast<std::ptrdiff_t>(*from);
  const auto found = monotone_
                         ? std::lower_bound(begin, sums_.end(), wanted)
                         : std::find_if(begin, sums_.end(), [&](double s) { return s >= wanted; });
  if (found == sums_.end()) return std::nullopt;
  return start + static_cast<Day>(found - begin);
}

std::optional<Day> Accumulation::latest_start(Day end, double target) const {
  const auto to = index_of(end);
  if (!to || !std::isfinite(target)) return std::nullopt;
  const double allowed = sums_[*to] - with_slack(target);
  const auto stop = sums_.begin() + static_cast<std::ptrdiff_t>(*to) + 1;
  // One past the last sum, up to the end, that is small enough.
  auto found = stop;
  if (monotone_) {
    found = std::upper_bound(sums_.begin(), stop, allowed);
  } else {
    while (found != sums_.begin() && *(found - 1) > allowed) --found;
  }
  if (found == sums_.begin()) return std::nullopt;
  return first_ + static_cast<Day>(found - sums_.begin()) - 1;
}

}  // namespace budwood::climate
