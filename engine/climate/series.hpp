#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "calendar/calendar.hpp"

namespace budwood::climate {

/// Daily minimum and maximum of a place, as measured or as monthly normals. Kelvin.
struct DayTemperature {
  double minimum = 0;
  double maximum = 0;
  friend bool operator==(const DayTemperature&, const DayTemperature&) = default;
};

/// One row of a table of daily temperatures.
struct SeriesRow {
  calendar::Day day = 0;
  DayTemperature temperature;
};

/// What is wrong with a row; the reader of the file puts it into words.
struct SeriesProblem {
  enum class Kind : std::uint8_t {
    outside_calendar,  ///< the day is not one that plans can use
    duplicate,         ///< the day has been given before
    out_of_order,      ///< the day comes before the row above it
    gap,               ///< `missing_days` days are missing before this row
    minimum_above_maximum,
    implausible,  ///< no air is like that: outside -90 to 60 degC, or not a number; wrong unit?
  };
  Kind kind = Kind::gap;
  std::size_t row = 0;  ///< index of the row, from 0
  calendar::Day missing_days = 0;
  friend bool operator==(const SeriesProblem&, const SeriesProblem&) = default;
};

/// Every problem of a table, in the order of its rows.
std::vector<SeriesProblem> check_series(std::span<const SeriesRow> rows);

/// Problems of one value alone: minimum_above_maximum or implausible. For tables without dates.
std::optional<SeriesProblem::Kind> check_temperature(const DayTemperature& temperature);

/// A run of days without a gap, each with its minimum and maximum.
class DailySeries {
 public:
  /// Nothing when there is no row or `check_series` finds a problem.
  static std::optional<DailySeries> from_rows(std::span<const SeriesRow> rows);

  calendar::Day first_day() const { return first_; }
  calendar::Day last_day() const {
    return first_ + static_cast<calendar::Day>(temperatures_.size()) - 1;
  }
  /// Nothing outside the series: what is not known is not guessed.
  std::optional<DayTemperature> on(calendar::Day day) const;
  std::span<const DayTemperature> temperatures() const { return temperatures_; }
  /// These days, and where others are known those.
  DailySeries with(const DailySeries& known) const;

 private:
  friend class MonthlyNormals;
  DailySeries(calendar::Day first, std::vector<DayTemperature> temperatures);

  calendar::Day first_;
  std::vector<DayTemperature> temperatures_;  // never empty
};

/// What is usual at noon of a day of the calendar, on the straight line between the middles of the
/// two nearest months: the middle of a month of n days is n / 2 days after its first midnight.
double between_months(const std::array<double, 12>& months, calendar::Day day);

/// The usual temperatures of the twelve months, the same every year.
class MonthlyNormals {
 public:
  /// January first. Nothing when `check_temperature` finds a problem in a month.
  static std::optional<MonthlyNormals> from_months(const std::array<DayTemperature, 12>& months);

  /// As `between_months`. Nothing outside the calendar.
  std::optional<DayTemperature> on(calendar::Day day) const;

  /// The days from `first` to `last`. Nothing when there is none or they leave the calendar.
  std::optional<DailySeries> daily(calendar::Day first, calendar::Day last) const;

 private:
  explicit MonthlyNormals(const std::array<DayTemperature, 12>& months) : months_(months) {}

  std::array<DayTemperature, 12> months_;
};

}  // namespace budwood::climate
