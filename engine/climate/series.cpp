#include "climate/series.hpp"

#include <utility>

namespace budwood::climate {
namespace {

using calendar::Day;

constexpr double coldest_air = 183.15;  // -90 degC; the record is -89.2 degC
constexpr double hottest_air = 333.15;  // 60 degC; the record is 56.7 degC

bool in_calendar(Day day) {
  return day >= calendar::first_day && day <= calendar::last_day;
}

int days_in_month(int year, unsigned month) {
  if (month == 2) return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0 ? 29 : 28;
  return month == 4 || month == 6 || month == 9 || month == 11 ? 30 : 31;
}

/// The day's noon, seen from the month it is in: months are counted from 0 within the year.
struct PlaceInMonths {
  std::size_t before;  ///< the month whose middle comes before, or is, that noon
  std::size_t after;
  double way;  ///< 0 at the middle of `before`, 1 at that of `after`
};

PlaceInMonths place_of(Day day) {
  const calendar::Date date = calendar::date_of(day);
  const std::size_t month = date.month - 1;
  const double length = days_in_month(date.year, date.month);
  const double from_middle = (date.day - 0.5) - length / 2;
  // December and January have 31 days each, so the neighbour's year does not matter.
  if (from_middle >= 0) {
    const std::size_t next = (month + 1) % 12;
    const double span = (length + days_in_month(date.year, static_cast<unsigned>(next + 1))) / 2;
    return {month, next, from_middle / span};
  }
  const std::size_t previous = (month + 11) % 12;
  const double span = (length + days_in_month(date.year, static_cast<unsigned>(previous + 1))) / 2;
  return {previous, month, 1 + from_middle / span};
}

double between(double from, double to, double way) {
  return from + (to - from) * way;
}

}  // namespace

std::optional<SeriesProblem::Kind> check_temperature(const DayTemperature& temperature) {
  const auto is_air = [](double value) { return value >= coldest_air && value <= hottest_air; };
  if (!is_air(temperature.minimum) || !is_air(temperature.maximum)) {
    return SeriesProblem::Kind::implausible;
  }
  if (temperature.minimum > temperature.maximum) return SeriesProblem::Kind::minimum_above_maximum;
  return std::nullopt;
}

std::vector<SeriesProblem> check_series(std::span<const SeriesRow> rows) {
  using Kind = SeriesProblem::Kind;
  std::vector<SeriesProblem> problems;
  calendar::DaySet seen = calendar::DaySet::none();
  std::optional<Day> latest;
  for (std::size_t row = 0; row < rows.size(); ++row) {
    const Day day = rows[row].day;
    if (!in_calendar(day)) {
      problems.push_back({Kind::outside_calendar, row, 0});
    } else if (seen.contains(day)) {
      problems.push_back({Kind::duplicate, row, 0});
    } else {
      if (latest && day < *latest) problems.push_back({Kind::out_of_order, row, 0});
      if (latest && day > *latest + 1) problems.push_back({Kind::gap, row, day - *latest - 1});
      seen.insert(day);
      if (!latest || day > *latest) latest = day;
    }
    if (const auto kind = check_temperature(rows[row].temperature)) {
      problems.push_back({*kind, row, 0});
    }
  }
  return problems;
}

DailySeries::DailySeries(Day first, std::vector<DayTemperature> temperatures)
    : first_(first), temperatures_(std::move(temperatures)) {}

std::optional<DailySeries> DailySeries::from_rows(std::span<const SeriesRow> rows) {
  if (rows.empty() || !check_series(rows).empty()) return std::nullopt;
  std::vector<DayTemperature> temperatures;
  temperatures.reserve(rows.size());
  for (const SeriesRow& row : rows) temperatures.push_back(row.temperature);
  return DailySeries(rows.front().day, std::move(temperatures));
}

DailySeries DailySeries::with(const DailySeries& known) const {
  DailySeries out = *this;
  for (calendar::Day day = std::max(first_, known.first_);
       day <= std::min(last_day(), known.last_day()); ++day) {
    out.temperatures_[static_cast<std::size_t>(day - first_)] =
        known.temperatures_[static_cast<std::size_t>(day - known.first_)];
  }
  return out;
}

std::optional<DayTemperature> DailySeries::on(Day day) const {
  if (day < first_ || day > last_day()) return std::nullopt;
  return temperatures_[static_cast<std::size_t>(day - first_)];
}

std::optional<MonthlyNormals> MonthlyNormals::from_months(
    const std::array<DayTemperature, 12>& months) {
  for (const DayTemperature& month : months) {
    if (check_temperature(month)) return std::nullopt;
  }
  return MonthlyNormals(months);
}

std::optional<DayTemperature> MonthlyNormals::on(Day day) const {
  if (!in_calendar(day)) return std::nullopt;
  const PlaceInMonths place = place_of(day);
  const DayTemperature& before = months_[place.before];
  const DayTemperature& after = months_[place.after];
  return DayTemperature{between(before.minimum, after.minimum, place.way),
                        between(before.maximum, after.maximum, place.way)};
}

double between_months(const std::array<double, 12>& months, Day day) {
  const PlaceInMonths place = place_of(day);
  return between(months[place.before], months[place.after], place.way);
}

std::optional<DailySeries> MonthlyNormals::daily(Day first, Day last) const {
  if (!in_calendar(first) || !in_calendar(last) || first > last) return std::nullopt;
  std::vector<DayTemperature> temperatures;
  temperatures.reserve(static_cast<std::size_t>(last - first) + 1);
  for (Day day = first; day <= last; ++day) temperatures.push_back(*on(day));
  return DailySeries(first, std::move(temperatures));
}

}  // namespace budwood::climate
