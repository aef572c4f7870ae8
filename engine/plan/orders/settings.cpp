#include "plan/orders/settings.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::plan {

using language::Half;

namespace {

/// As finely as a timer is set: "7.5 s", "25 min 27 s", "3.5 h".
std::string time_text(double seconds) {
  constexpr double minute = 60;
  constexpr double hour = 3600;
  const auto text = [](double base, const char* unit, double step) {
    return units::format(std::round(base / step) * step, *units::find_unit(unit), 4);
  };
  if (seconds < 2 * minute) return text(seconds, "s", 0.1);
  if (seconds >= 3 * hour) return text(seconds, "h", hour / 10);
  const double whole = std::round(seconds);
  const double rest = std::fmod(whole, minute);
  const std::string minutes = text(whole - rest, "min", minute);
  return rest == 0 ? minutes : minutes + " " + text(rest, "s", 1);
}

/// "25" of "25 degC": in a range the unit stands once.
std::string number_of(const std::string& quantity) {
  return quantity.substr(0, quantity.find(' '));
}

/// Nobody sets a climate finer than this.
constexpr int digits = 3;

std::string level_text(const language::Setting& setting, const sheet::StageClimate::Level& level) {
  const std::string low = units::format(level.low, setting.unit, digits);
  switch (setting.bound) {
    case language::Bound::range:
      return number_of(low) + " to " + units::format(level.high, setting.unit, digits);
    case language::Bound::at_least:
      return "at least " + low;
    case language::Bound::at_most:
      return "at most " + low;
    case language::Bound::exact:
      break;
  }
  return low;
}

std::string mist_text(const language::Mist& mist, const climate::MistProgramme& programme) {
  const std::string pulses = time_text(programme.pulse) + " every " + time_text(programme.interval);
  if (mist.from_minute == 0 && mist.to_minute == 24 * 60) return pulses + ", day and night";
  return pulses + ", " + calendar::clock_text(mist.from_minute) + " to " +
         calendar::clock_text(mist.to_minute);
}

}  // namespace

std::vector<DaySetting> settings_on(const sheet::Sheet& sheet, std::size_t row, std::size_t stage,
                                    int offset) {
  const language::Stage& written = sheet.layout().protocol.stages[stage];
  const sheet::StageClimate climate = sheet.climate(stage, row);
  std::vector<DaySetting> out;
  if (offset >= climate.days()) return out;
  for (std::size_t i = 0; i < written.settings.size(); ++i) {
    const language::Setting& setting = written.settings[i];
    const auto day = climate.level(setting.measure, Half::day, offset);
    const auto night = climate.level(setting.measure, Half::night, offset);
    const bool by_day = day && day->setting == i;
    const bool by_night = night && night->setting == i;
    if (!by_day && !by_night) continue;
    const sheet::StageClimate::Level& level = by_day ? *day : *night;
    std::string value = level_text(setting, level);
    if (!std::isnan(level.hours)) value += " for " + time_text(level.hours);
    out.push_back({setting.name,
                   by_day && by_night ? Half::both
                   : by_day           ? Half::day
                                      : Half::night,
                   std::move(value)});
  }
  for (const sheet::StageClimate::Pulses& pulses : climate.mist(offset)) {
    out.push_back({"mist", Half::both, mist_text(written.mists[pulses.mist], pulses.programme)});
  }
  return out;
}

int waiting_days(const sheet::Sheet& sheet, std::size_t row, std::size_t stage) {
  const std::vector<language::Stage>& stages = sheet.layout().protocol.stages;
  const auto day = [&](sheet::CellId cell) {
    return static_cast<calendar::Day>(sheet.value(cell, row));
  };
  const calendar::Day end = day(sheet.layout().stages[stage].end);
  calendar::Day left = end;
  std::optional<calendar::Day> set_anew;  // by a next stage in the same room
  for (std::size_t s = 0; s < stages.size(); ++s) {
    const auto& takes = stages[s].takes;
    if (std::find(takes.begin(), takes.end(), static_cast<std::int32_t>(stage)) == takes.end()) {
      continue;
    }
    const calendar::Day start = day(sheet.layout().stages[s].start);
    left = std::max(left, start);
    if (stages[s].room == stages[stage].room) set_anew = std::min(set_anew.value_or(start), start);
  }
  return std::max(0, set_anew.value_or(left) - end);
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
