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

std::vector<DaySetting> settings_on(const sheet::Row& row, StageId stage, int offset) {
  const language::Stage& written = row.stage(stage);
  const sheet::StageClimate climate = row.climate(stage);
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

int waiting_days(const sheet::Row& row, StageId stage) {
  const calendar::Day end = row.end(stage);
  calendar::Day left = end;
  std::optional<calendar::Day> set_anew;  // by a next stage in the same room
  for (const StageId next : row.protocol().stages.ids()) {
    if (!language::takes_from(row.stage(next), stage)) continue;
    const calendar::Day start = row.start(next);
    left = std::max(left, start);
    if (row.stage(next).room == row.stage(stage).room) {
      set_anew = std::min(set_anew.value_or(start), start);
    }
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

std::vector<SettingSpan> setting_spans(const sheet::Row& row, StageId stage) {
  const calendar::Day start = row.start(stage);
  const int days = row.climate(stage).days();  // a stage of some hours has its day
  std::vector<SettingSpan> spans;
  std::vector<std::size_t> open;  // those that went on to the day before: a taper has many others
  for (int offset = 0; offset < days; ++offset) {
    std::vector<std::size_t> going;
    for (DaySetting& setting : settings_on(row, stage, offset)) {
      const auto same = [&](std::size_t i) {
        const SettingSpan& span = spans[i];
        return span.to == start + offset - 1 && span.setting.name == setting.name &&
               span.setting.half == setting.half && span.setting.value == setting.value;
      };
      const auto found = std::find_if(open.begin(), open.end(), same);
      if (found != open.end()) {
        spans[*found].to = start + offset;
        going.push_back(*found);
      } else {
        going.push_back(spans.size());
        spans.push_back({start + offset, start + offset, std::move(setting)});
      }
    }
    open = std::move(going);
  }
  std::stable_sort(spans.begin(), spans.end(), [](const SettingSpan& a, const SettingSpan& b) {
    if (a.setting.name != b.setting.name) return a.setting.name < b.setting.name;
    if (a.setting.half != b.setting.half) return a.setting.half < b.setting.half;
    return a.from < b.from;
  });
  return spans;
}

}  // namespace budwood::plan
