#include "plan/settings.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::plan {

using language::Half;
using language::StageDay;

namespace {

constexpr double seconds_a_day = 86400;

std::string clock(int minute) {
  const auto two = [](int n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return two(minute / 60) + ":" + two(minute % 60);
}

/// Where a day of the stage lies between the first and the last day of a statement: 0 to 1. Nothing
/// when the statement does not hold on that day.
std::optional<double> share_of(const StageDay& from, const StageDay& to, double over_seconds,
                               int offset, int stage_days) {
  const int last = std::max(0, stage_days - 1);
  const int first = from.last ? last : from.day - 1;
  int end = to.last ? last : to.day - 1;
  if (!std::isnan(over_seconds)) {
    end = first + static_cast<int>(std::ceil(over_seconds / seconds_a_day)) - 1;
  }
  if (offset < first || offset > end) return std::nullopt;
  return end == first ? 0.0 : static_cast<double>(offset - first) / (end - first);
}

/// As finely as a timer is set: seconds up to two minutes, minutes up to three hours, then hours.
std::string time_text(double seconds) {
  constexpr double minute = 60;
  constexpr double hour = 3600;
  const bool in_seconds = seconds < 2 * minute;
  const bool in_minutes = !in_seconds && seconds < 3 * hour;
  const char* unit = in_seconds ? "s" : in_minutes ? "min" : "h";
  const double step = in_seconds ? 1 : in_minutes ? minute : hour / 10;
  return units::format(std::round(seconds / step) * step, *units::find_unit(unit), 4);
}

/// Reads the cells of one row.
class Row {
 public:
  Row(const sheet::Sheet& sheet, std::size_t row) : sheet_(sheet), row_(row) {}

  double value(sheet::CellId cell) const {
    return cell == sheet::no_cell ? sheet::no_value : sheet_.value(cell, row_);
  }
  /// From `first` evenly to `last`; `first` throughout when there is no last.
  double between(sheet::CellId first, sheet::CellId last, double share) const {
    const double from = value(first);
    return last == sheet::no_cell ? from : from + share * (value(last) - from);
  }

 private:
  const sheet::Sheet& sheet_;
  std::size_t row_;
};

void put(std::vector<DaySetting>& all, DaySetting setting) {
  const auto same = [&](const DaySetting& other) {
    return other.name == setting.name && (other.half == setting.half || setting.half == Half::both);
  };
  all.erase(std::remove_if(all.begin(), all.end(), same), all.end());
  all.push_back(std::move(setting));
}

}  // namespace

std::vector<DaySetting> settings_on(const sheet::Sheet& sheet, std::size_t row_number,
                                    std::size_t stage, int offset) {
  const language::Stage& written = sheet.layout().protocol.stages[stage];
  const sheet::StageCells& cells = sheet.layout().stages[stage];
  const Row row(sheet, row_number);
  const int days = static_cast<int>(row.value(cells.days));
  constexpr int digits = 3;  // nobody sets a climate finer than that
  std::vector<DaySetting> out;
  for (std::size_t i = 0; i < written.settings.size(); ++i) {
    const language::Setting& setting = written.settings[i];
    const sheet::SettingCells& at = cells.settings[i];
    const auto share = share_of(setting.from, setting.to, row.value(at.over), offset, days);
    if (!share) continue;
    std::string value = units::format(row.between(at.first, at.last, *share), setting.unit, digits);
    if (at.hours != sheet::no_cell) value += " for " + time_text(row.value(at.hours));
    put(out, {setting.name, setting.half, std::move(value)});
  }
  for (std::size_t i = 0; i < written.mists.size(); ++i) {
    const language::Mist& mist = written.mists[i];
    const sheet::MistCells& at = cells.mists[i];
    const auto share = share_of(mist.from, mist.to, row.value(at.over), offset, days);
    if (!share) continue;
    std::string value = time_text(row.between(at.pulse, at.pulse_last, *share)) + " every " +
                        time_text(row.between(at.every, at.every_last, *share));
    const bool all_day = mist.from_minute == 0 && mist.to_minute == 24 * 60;
    value += all_day ? ", day and night"
                     : ", " + clock(mist.from_minute) + " to " + clock(mist.to_minute);
    put(out, {"mist", Half::both, std::move(value)});
  }
  return out;
}

std::string describe(const DaySetting& setting) {
  std::string name = setting.name;
  std::replace(name.begin(), name.end(), '_', ' ');
  if (setting.half == Half::day) name += " by day";
  if (setting.half == Half::night) name += " by night";
  return name + " " + setting.value;
}

std::vector<SettingSpan> setting_spans(const sheet::Sheet& sheet, std::size_t row,
                                       std::size_t stage) {
  const sheet::StageCells& cells = sheet.layout().stages[stage];
  const auto start = static_cast<calendar::Day>(sheet.value(cells.start, row));
  const int days = static_cast<int>(sheet.value(cells.days, row));
  std::vector<SettingSpan> spans;
  for (int offset = 0; offset < days; ++offset) {
    for (DaySetting& setting : settings_on(sheet, row, stage, offset)) {
      const auto same = [&](const SettingSpan& span) {
        return span.to == start + offset - 1 && span.setting.name == setting.name &&
               span.setting.half == setting.half && span.setting.value == setting.value;
      };
      const auto found = std::find_if(spans.begin(), spans.end(), same);
      if (found != spans.end()) {
        found->to = start + offset;
      } else {
        spans.push_back({start + offset, start + offset, std::move(setting)});
      }
    }
  }
  std::stable_sort(spans.begin(), spans.end(), [](const SettingSpan& a, const SettingSpan& b) {
    if (a.setting.name != b.setting.name) return a.setting.name < b.setting.name;
    if (a.setting.half != b.setting.half) return a.setting.half < b.setting.half;
    return a.from < b.from;
  });
  return spans;
}

}  // namespace budwood::plan
