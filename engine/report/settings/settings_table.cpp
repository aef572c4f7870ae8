#include <algorithm>
#include <cmath>
#include <ostream>

#include "report/formats/wording.hpp"
#include "report/formats/writers.hpp"
#include "report/needs/needs_words.hpp"
#include "report/settings/settings_days.hpp"

namespace budwood::report {

using language::Half;
using language::Measure;

namespace {

/// Nobody sets a climate finer than this.
constexpr int shown_digits = 3;

/// A column as it is printed: its head, then a cell a day.
struct Printed {
  std::string head;
  std::vector<std::string> cells;

  bool empty() const {
    return std::all_of(cells.begin(), cells.end(), [](const auto& cell) { return cell.empty(); });
  }
  std::size_t width() const {
    std::size_t widest = 0;
    for (const std::string& line : wrap(head, std::string::npos)) {
      widest = std::max(widest, text::display_width(line));
    }
    for (const std::string& cell : cells) widest = std::max(widest, text::display_width(cell));
    return widest;
  }
};

/// A long quotient on two lines: "umol" and "/m2/s".
std::string broken(std::string unit) {
  constexpr std::size_t long_unit = 6;
  const std::size_t slash = unit.find('/');
  if (unit.size() > long_unit && slash != std::string::npos) unit.insert(slash, "\n");
  return unit;
}

/// One stage of a batch.
class StagePage {
 public:
  StagePage(std::ostream& out, const plan::Plan& plan, const SettingsStage& shown,
            const Style& style)
      : out_(out),
        plan_(plan),
        batch_(plan.batches[shown.batch]),
        stage_(plan.protocol_of(batch_).stages[shown.stage]),
        climate_(plan.row_of(batch_).climate(shown.stage)),
        shown_(shown),
        style_(style) {}

  void write() const {
    out_ << '\n';
    paragraph(heading(), 0, Ink::strong);
    const std::string step = step_text();
    if (!step.empty()) paragraph(step, indent, Ink::plain);
    write_columns(columns());
  }

 private:
  void paragraph(const std::string& text, std::size_t left, Ink ink) const {
    const std::size_t room = style_.width > left ? style_.width - left : 1;
    for (const std::string& line : wrap(text, room)) {
      out_ << pad_right("", left) << inked(line, ink, style_) << '\n';
    }
  }

  std::string heading() const {
    const sheet::Row row = plan_.row_of(batch_);
    const calendar::Day start = row.start(shown_.stage);
    const calendar::Day last = start + climate_.days() - 1;
    std::string out = "Batch " + plan_.facts_of(batch_).id.value + ", " + shown_name(stage_);
    if (!stage_.room.empty()) out += ", room " + stage_.room;
    out += ", " + short_date(start);
    if (last > start) out += " to " + short_date(last);
    const int waits = plan::waiting_days(row, shown_.stage);
    return waits > 0 ? out + "; plants wait there to " + short_date(last + waits) : out;
  }

  /// "Vapour pressure deficit against the end of the stage before: 0.35 kPa lower by day, unchanged
  /// by night." The plants feel that step at once.
  std::string step_text() const {
    const std::string by_day = step_in(Half::day);
    const std::string by_night = step_in(Half::night);
    std::vector<std::string> pieces;
    if (by_day == by_night) {
      if (!by_day.empty()) pieces = {by_day};
    } else {
      if (!by_day.empty()) pieces.push_back(by_day + " by day");
      if (!by_night.empty()) pieces.push_back(by_night + " by night");
    }
    if (pieces.empty()) return "";
    return "Vapour pressure deficit against the end of the stage before: " + joined(pieces, ", ") +
           ".";
  }

  /// "" when either is not known.
  std::string step_in(Half half) const {
    language::Reading reading;
    reading.stage = shown_.stage;
    reading.measure = Measure::vpd;
    reading.half = half;
    reading.moment = language::Reading::Moment::step;
    const double step = climate_.answer(reading);
    if (std::isnan(step)) return "";
    constexpr int step_digits = 2;
    constexpr double too_small = 5;  // Pa
    if (std::abs(step) < too_small) return "unchanged";
    return units::format(std::abs(step), *units::find_unit("kPa"), step_digits) +
           (step < 0 ? " lower" : " higher");
  }

  /// "10", and "10 +2" two days after it while plants wait for the next stage.
  static std::string text_of(const SettingsDay& day) {
    return std::to_string(day.day) + (day.waited > 0 ? " +" + std::to_string(day.waited) : "");
  }

  const std::vector<SettingsColumn>& columns_of_site() const {
    return settings_columns(plan_.book->site.units);
  }

  /// Of what is set to a range both ends; else the value.
  std::string cell(std::size_t column, const SettingsDay& day) const {
    const double value = day.values[column];
    if (std::isnan(value)) return "";
    const SettingsColumn& what = columns_of_site()[column];
    const bool is_mist = what.of != SettingsColumn::Of::climate;
    if (is_mist || what.set) return units::format_number(value, shown_digits);
    const Half half = what.half == Half::both ? Half::day : what.half;
    const auto level = climate_.level(what.measure, half, day.day - 1);
    if (!level) return units::format_number(value, shown_digits);
    const auto number = [&](double base) {
      return units::format_number(what.unit.from_base(base), shown_digits);
    };
    switch (stage_.settings[level->setting].bound) {
      case language::Bound::range:
        return number(level->low) + " to " + number(level->high);
      case language::Bound::at_least:
        return "from " + number(level->low);
      case language::Bound::at_most:
        return "up to " + number(level->low);
      case language::Bound::exact:
        break;
    }
    return units::format_number(value, shown_digits);
  }

  /// Whether what is set is what was asked for, on every day.
  bool is_as_asked(const SettingsColumn& set, const Printed& column) const {
    for (std::size_t i = 0; i < columns_of_site().size(); ++i) {
      if ("set_" + columns_of_site()[i].name != set.name) continue;
      for (std::size_t d = 0; d < shown_.days.size(); ++d) {
        if (cell(i, shown_.days[d]) != column.cells[d]) return false;
      }
    }
    return true;
  }

  /// Columns that hold something, what is set where it differs from what is asked for; both halves
  /// of the day in one where they are the same.
  std::vector<Printed> columns() const {
    std::vector<Printed> out;
    std::size_t by_day = columns_of_site().size();  // where the last of them by day stands
    for (std::size_t i = 0; i < columns_of_site().size(); ++i) {
      const SettingsColumn& what = columns_of_site()[i];
      Printed column;
      for (const SettingsDay& day : shown_.days) column.cells.push_back(cell(i, day));
      if (column.empty() || (what.set && is_as_asked(what, column))) continue;
      const std::string unit = "\n" + (what.of == SettingsColumn::Of::waterings ? "times"
                                       : what.unit.symbol.empty()               ? "pulses"
                                                                  : broken(what.unit.symbol));
      const bool same_by_day = by_day + 1 == i && !out.empty() && out.back().cells == column.cells;
      if (what.half == Half::night && same_by_day) {
        out.back().head = what.head + unit;
        continue;
      }
      if (what.half == Half::day) by_day = i;
      const char* half = what.half == Half::day     ? "\nby day"
                         : what.half == Half::night ? "\nby night"
                                                    : "";
      column.head = what.head + half + unit;
      out.push_back(std::move(column));
    }
    return out;
  }

  /// Beside each other as many as the page holds, the rest in a further table.
  void write_columns(const std::vector<Printed>& columns) const {
    constexpr std::size_t date_width = 10;
    std::size_t day_width = 3;
    for (const SettingsDay& day : shown_.days) day_width = std::max(day_width, text_of(day).size());
    for (std::size_t first = 0; first < columns.size();) {
      std::size_t taken = indent + date_width + gap + day_width;
      std::size_t end = first;
      while (end < columns.size()) {
        taken += gap + columns[end].width();
        if (taken > style_.width && end > first) break;
        ++end;
      }
      if (first > 0) out_ << '\n';
      write_table(std::vector<Printed>(columns.begin() + static_cast<std::ptrdiff_t>(first),
                                       columns.begin() + static_cast<std::ptrdiff_t>(end)));
      first = end;
    }
  }

  void write_table(const std::vector<Printed>& columns) const {
    std::vector<Table::Column> heads{{"Date", Table::Kind::entry}, {"Day", Table::Kind::number}};
    for (const Printed& column : columns) heads.push_back({column.head, Table::Kind::number});
    Table table(std::move(heads));
    for (std::size_t d = 0; d < shown_.days.size(); ++d) {
      std::vector<std::string> row{calendar::iso_date(shown_.days[d].date),
                                   text_of(shown_.days[d])};
      for (const Printed& column : columns) row.push_back(column.cells[d]);
      table.add(std::move(row));
    }
    table.write(out_, style_, indent);
  }

  std::ostream& out_;
  const plan::Plan& plan_;
  const plan::BatchPlan& batch_;
  const language::Stage& stage_;
  sheet::StageClimate climate_;
  const SettingsStage& shown_;
  const Style& style_;
};

}  // namespace

std::size_t write_settings_table(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                                 const Style& style) {
  for (const std::string& line : wrap("Settings of " + plan.book->site.name.value, style.width)) {
    out << inked(line, Ink::strong, style) << '\n';
  }
  std::size_t days = 0;
  for_each_stage(plan, filter, plan.book->site.units, [&](const SettingsStage& stage) {
    StagePage(out, plan, stage, style).write();
    days += stage.days.size();
    return static_cast<bool>(out);
  });
  if (days == 0) {
    out << '\n';
    for (const std::string& line : wrap(nothing_found(filter, "settings"), style.width)) {
      out << line << '\n';
    }
  }
  return days;
}

}  // namespace budwood::report
