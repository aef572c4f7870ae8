#include "book/weather/weather_file.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <map>
#include <utility>

#include "book/yaml/values.hpp"
#include "text/csv.hpp"

namespace budwood::book {

namespace {

using calendar::Day;
using climate::SeriesProblem;

/// The columns that are read, by their place in what follows.
enum Column : std::size_t { date, minimum, maximum, radiation };
/// All but `radiation` have to be there.
constexpr std::size_t needed_columns = 3;
const std::vector<std::string>& column_names() {
  return keys_of(KeyMap::weather).names;
}
const char* const heading_example = "The first line names the columns: `date,minimum,maximum`.";

/// Stands in for a temperature that could not be read, so that its day is still known.
constexpr double some_air = climate::kelvin_at_0_celsius;

/// Reads a file row by row, then looks at all of them together.
class WeatherFile {
 public:
  WeatherFile(const text::Source& source, const units::Unit& unit) : source_(source), unit_(unit) {}

  Weather read();
  /// Hands over the first mistakes, and how many more there are.
  void report(text::Diagnostics& diagnostics) const;

 private:
  struct Row {
    text::Span date;
    std::optional<WrittenTemperature> temperature;
    double radiation;   ///< J/m2; NaN where none is given
    Day unread_before;  ///< rows just before this one of which the date could not be read
  };

  bool read_heading(const std::vector<text::CsvField>& heading);
  void report_missing_columns(const std::vector<text::CsvField>& heading);
  void read_row(const std::vector<text::CsvField>& fields);
  bool check_length(const std::vector<text::CsvField>& fields);
  bool check_filled(const text::CsvField& field, Column column);
  std::optional<Placed<double>> read_number(const text::CsvField& field, Column column);
  double read_radiation(const std::vector<text::CsvField>& fields);
  climate::Sky sky() const;
  void add_row(std::optional<Day> day, const text::Span& span,
               std::optional<WrittenTemperature> temperature, double radiation);
  void check_rows();
  void report_problem(const SeriesProblem& problem);
  void report_duplicate(std::size_t row);

  const text::Source& source_;
  const units::Unit& unit_;
  text::Diagnostics found_;
  std::size_t width_ = 0;                ///< fields of the heading
  std::array<std::size_t, 4> places_{};  ///< of the columns in a row
  bool has_radiation_ = false;
  std::vector<Row> rows_;
  std::vector<climate::SeriesRow> series_;  ///< the same rows
  std::map<Day, std::size_t> first_rows_;   ///< by day
  Day unread_ = 0;  ///< rows without a readable date since the last one with one
};

Weather WeatherFile::read() {
  text::CsvReader reader(source_);
  const auto heading = reader.next(found_);
  if (!heading) {
    if (!found_.has_errors()) {
      found_.error("empty-file", {&source_, 0, 0}, "There is nothing in this file.",
                   heading_example);
    }
    return {};
  }
  if (!read_heading(*heading)) return {};
  std::size_t count = 0;
  while (const auto fields = reader.next(found_)) {
    ++count;
    read_row(*fields);
  }
  if (count == 0 && !found_.has_errors()) {
    found_.error("empty-file", heading->front().span, "There are no days below this line.",
                 "Add a row for each day, such as `2027-01-01,-1.5,4`.");
  }
  check_rows();
  if (found_.has_errors()) return {};
  auto series = climate::DailySeries::from_rows(series_);
  if (!series) return {};
  return {std::make_shared<const climate::DailySeries>(std::move(*series)), sky()};
}

/// The rows have no gap.
climate::Sky WeatherFile::sky() const {
  climate::Sky out;
  if (!has_radiation_) return out;
  out.first = series_.front().day;
  for (const Row& row : rows_) out.measured.push_back(row.radiation);
  return out;
}

void WeatherFile::report(text::Diagnostics& diagnostics) const {
  const std::vector<text::Diagnostic> all = found_.sorted();
  for (std::size_t i = 0; i < std::min(all.size(), most_mistakes_shown); ++i) {
    diagnostics.add(all[i]);
  }
  if (all.size() <= most_mistakes_shown) return;
  const std::size_t more = found_.count(text::Severity::error) - most_mistakes_shown;
  diagnostics.note("more-mistakes", all[most_mistakes_shown].span,
                   std::to_string(more) + (more == 1 ? " more mistake" : " more mistakes") +
                       " in this file, from here on, " + (more == 1 ? "is" : "are") +
                       " not shown.");
}

bool WeatherFile::read_heading(const std::vector<text::CsvField>& heading) {
  width_ = heading.size();
  std::array<const text::CsvField*, 4> found{};
  for (std::size_t i = 0; i < heading.size(); ++i) {
    const auto name = std::find(column_names().begin(), column_names().end(), heading[i].value);
    if (name == column_names().end()) continue;
    const auto column = static_cast<std::size_t>(name - column_names().begin());
    if (found[column] != nullptr) {
      found_.add({text::Severity::error,
                  "duplicate-column",
                  heading[i].span,
                  "There is a second column `" + *name + "`.",
                  "Rename one of the two.",
                  {{found[column]->span, "the first one"}}});
    } else {
      found[column] = &heading[i];
      places_[column] = i;
    }
  }
  has_radiation_ = found[radiation] != nullptr;
  const auto needed = found.begin() + needed_columns;
  if (std::find(found.begin(), needed, nullptr) != needed) {
    report_missing_columns(heading);
  }
  return !found_.has_errors();
}

void WeatherFile::report_missing_columns(const std::vector<text::CsvField>& heading) {
  std::vector<std::string> present;
  std::vector<std::string> others;
  for (const text::CsvField& field : heading) {
    const bool wanted = std::find(column_names().begin(), column_names().end(), field.value) !=
                        column_names().end();
    (wanted ? present : others).push_back(field.value);
  }
  std::vector<std::string> missing;
  std::string advice;
  for (std::size_t i = 0; i < needed_columns; ++i) {
    const std::string& name = column_names()[i];
    if (std::find(present.begin(), present.end(), name) != present.end()) continue;
    missing.push_back("`" + name + "`");
    const std::string near = text::nearest(name, others);
    if (!near.empty()) advice += (advice.empty() ? "" : " ") + ("Rename `" + near + "`.");
  }
  if (advice.empty()) advice = heading_example;
  if (heading.size() == 1 && heading[0].value.find(';') != std::string::npos) {
    advice = "Part the columns with commas, not with semicolons.";
  }
  found_.error("missing-column", {&source_, heading.front().span.begin, heading.back().span.end},
               (missing.size() == 1 ? "There is no column " : "There are no columns ") +
                   text::list_words(missing) + ".",
               std::move(advice));
}

void WeatherFile::read_row(const std::vector<text::CsvField>& fields) {
  if (!check_length(fields)) {
    const bool has_date = places_[date] < fields.size();
    const text::CsvField& field = has_date ? fields[places_[date]] : fields.front();
    add_row(calendar::parse_iso_date(field.value), field.span, std::nullopt,
            std::numeric_limits<double>::quiet_NaN());
    return;
  }
  const text::CsvField& day_field = fields[places_[date]];
  std::optional<Day> day;
  if (check_filled(day_field, date)) {
    day = parse_day(day_field.value, day_field.span, {"date", "a date", "2027-01-01"}, found_);
  }
  const auto low = read_number(fields[places_[minimum]], minimum);
  const auto high = read_number(fields[places_[maximum]], maximum);
  std::optional<WrittenTemperature> temperature;
  if (low && high) temperature = WrittenTemperature{*low, *high};
  add_row(day, day_field.span, temperature, read_radiation(fields));
}

bool WeatherFile::check_length(const std::vector<text::CsvField>& fields) {
  if (fields.size() == width_) return true;
  const std::size_t size = fields.size();
  found_.error("wrong-row", {&source_, fields.front().span.begin, fields.back().span.end},
               "This row has " + std::to_string(size) + (size == 1 ? " field" : " fields") +
                   ", the first line has " + std::to_string(width_) + ".",
               "Write numbers with a point, and a field with a comma in it in quotes.");
  return false;
}

bool WeatherFile::check_filled(const text::CsvField& field, Column column) {
  if (!field.value.empty()) return true;
  found_.error("no-value", field.span, "`" + column_names()[column] + "` has no value in this row.",
               "Write one, estimated if need be.");
  return false;
}

std::optional<Placed<double>> WeatherFile::read_number(const text::CsvField& field, Column column) {
  if (!check_filled(field, column)) return std::nullopt;
  const std::optional<units::Parsed> parsed = units::parse_quantity(field.value);
  if (parsed && !parsed->has_unit) return Placed<double>{parsed->value, field.span};
  found_.error("wrong-value", field.span,
               "`" + column_names()[column] + "` wants a number, such as `-1.5`; `" +
                   text::shortened(field.value) + "` is none.",
               "Write it with a point and without a unit.");
  return std::nullopt;
}

/// In MJ/m2 a day. A day without a value has none.
double WeatherFile::read_radiation(const std::vector<text::CsvField>& fields) {
  constexpr double none = std::numeric_limits<double>::quiet_NaN();
  if (!has_radiation_ || fields[places_[radiation]].value.empty()) return none;
  const auto written = read_number(fields[places_[radiation]], radiation);
  if (!written) return none;
  const double energy = written->value * 1e6;
  if (energy >= 0 && energy <= most_radiation) return energy;
  report_radiation(*written, found_);
  return none;
}

void WeatherFile::add_row(std::optional<Day> day, const text::Span& span,
                          std::optional<WrittenTemperature> temperature, double radiation) {
  if (!day) {
    ++unread_;
    // The temperatures can be looked at all the same.
    if (!temperature) return;
    const auto kind = climate::check_temperature(temperature->in(unit_));
    if (kind) report_temperature(*kind, *temperature, unit_, found_);
    return;
  }
  first_rows_.try_emplace(*day, rows_.size());
  rows_.push_back({span, temperature, radiation, unread_});
  series_.push_back(
      {*day, temperature ? temperature->in(unit_) : climate::DayTemperature{some_air, some_air}});
  unread_ = 0;
}

void WeatherFile::check_rows() {
  for (const SeriesProblem& problem : climate::check_series(series_)) report_problem(problem);
}

void WeatherFile::report_problem(const SeriesProblem& problem) {
  using Kind = SeriesProblem::Kind;
  const Row& row = rows_[problem.row];
  switch (problem.kind) {
    case Kind::outside_calendar:
      found_.error("no-such-date", row.date, "This day is outside the calendar.");
      break;
    case Kind::duplicate:
      report_duplicate(problem.row);
      break;
    case Kind::out_of_order:
      found_.error("out-of-order", row.date, "This day comes before one above it.",
                   "Sort the rows by date.");
      break;
    case Kind::gap: {
      // Rows with a date that could not be read have been reported; they are not missing as well.
      const Day days = problem.missing_days - row.unread_before;
      if (days <= 0) break;
      found_.error("missing-days", row.date,
                   (days == 1 ? "1 day is" : std::to_string(days) + " days are") +
                       " missing before this row.",
                   "Add what is missing, estimated if need be.");
      break;
    }
    case Kind::minimum_above_maximum:
    case Kind::implausible:
      if (row.temperature) report_temperature(problem.kind, *row.temperature, unit_, found_);
      break;
  }
}

void WeatherFile::report_duplicate(std::size_t row) {
  const Day day = series_[row].day;
  found_.add({text::Severity::error,
              "duplicate-day",
              rows_[row].date,
              calendar::iso_date(day) + " stands here a second time.",
              "Keep one of the two.",
              {{rows_[first_rows_.at(day)].date, "the first one"}}});
}

}  // namespace

void report_temperature(SeriesProblem::Kind kind, const WrittenTemperature& written,
                        const units::Unit& unit, text::Diagnostics& diagnostics) {
  const auto in_words = [&](const Placed<double>& value) {
    return units::format_number(value.value) + " " + unit.symbol;
  };
  if (kind == SeriesProblem::Kind::minimum_above_maximum) {
    diagnostics.error("out-of-range", written.minimum.span,
                      "The minimum, " + in_words(written.minimum) + ", is above the maximum, " +
                          in_words(written.maximum) + ".",
                      "Write the lower one as the minimum.");
    return;
  }
  const double low = unit.to_base(written.minimum.value);
  const Placed<double>& odd =
      climate::check_temperature({low, low}) ? written.minimum : written.maximum;
  diagnostics.error("out-of-range", odd.span, "No air is " + in_words(odd) + ": is the unit right?",
                    "`unit` below `climate` in site.yaml can be degC, degF or K.");
}

void report_radiation(const Placed<double>& written, text::Diagnostics& diagnostics) {
  diagnostics.error("out-of-range", written.span,
                    "No day brings " + units::format_number(written.value) + " MJ/m2 of the sun.",
                    "It is in MJ/m2: 1 kWh/m2 is 3.6, 1000 J/cm2 are 10, 100 W/m2 all day 8.64.");
}

Weather read_weather(const text::Source& source, const units::Unit& unit,
                     text::Diagnostics& diagnostics) {
  WeatherFile file(source, unit);
  Weather weather = file.read();
  file.report(diagnostics);
  return weather;
}

}  // namespace budwood::book
