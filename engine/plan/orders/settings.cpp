#include "plan/orders/settings.hpp"

#include <algorithm>
#include <cmath>

#include "plan/plan.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

using language::Half;

namespace {

/// "25" of "25 degC": in a range the unit stands once.
std::string number_of(const std::string& quantity) {
  return quantity.substr(0, quantity.find(' '));
}

/// Nobody sets a climate finer than this.
constexpr int digits = 3;

std::string level_text(const DaySetting& setting) {
  const std::string low = units::format(setting.low, setting.unit, digits);
  switch (setting.bound) {
    case language::Bound::range:
      return number_of(low) + " to " + units::format(setting.high, setting.unit, digits);
    case language::Bound::at_least:
      return "at least " + low;
    case language::Bound::at_most:
      return "at most " + low;
    case language::Bound::exact:
      break;
  }
  return low;
}

std::string mist_text(const climate::MistProgramme& programme) {
  constexpr double day = 24 * units::seconds_an_hour;
  constexpr double minute = 60;
  const std::string pulses =
      timer_text(programme.pulse) + " every " + timer_text(programme.interval);
  if (programme.from == 0 && programme.to == day) return pulses + ", day and night";
  const auto clock = [](double seconds) {
    return calendar::clock_text(static_cast<int>(std::round(seconds / minute)));
  };
  return pulses + ", " + clock(programme.from) + " to " + clock(programme.to);
}

bool equal(double a, double b) {
  return (std::isnan(a) && std::isnan(b)) || a == b || std::abs(a - b) <= units::slack(a, b);
}

}  // namespace

std::string timer_text(double seconds) {
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

std::string DaySetting::value() const {
  switch (kind) {
    case Kind::mist:
      return mist_text(mist);
    case Kind::off:
      return "off";
    case Kind::unasked:
      return "not asked for any more";
    case Kind::back:
      return "back to " + units::format(low, unit, digits);
    case Kind::level:
      break;
  }
  const std::string text = level_text(*this);
  if (!std::isnan(light)) {
    return text + " at each " + units::format(light, *units::find_unit("mol/m2"), digits) +
           " of light";
  }
  return std::isnan(hours) ? text : text + " for " + timer_text(hours);
}

bool same(const DaySetting& one, const DaySetting& other) {
  if (one.name != other.name || one.half != other.half || one.kind != other.kind) return false;
  if (one.kind == DaySetting::Kind::mist) {
    return equal(one.mist.pulse, other.mist.pulse) &&
           equal(one.mist.interval, other.mist.interval) && one.mist.from == other.mist.from &&
           one.mist.to == other.mist.to;
  }
  return one.bound == other.bound && equal(one.low, other.low) && equal(one.high, other.high) &&
         equal(one.hours, other.hours) && equal(one.light, other.light);
}

bool same(const std::vector<DaySetting>& some, const std::vector<DaySetting>& others) {
  return std::equal(some.begin(), some.end(), others.begin(), others.end(),
                    [](const DaySetting& a, const DaySetting& b) { return same(a, b); });
}

std::optional<MistSum> mist_of(const std::vector<DaySetting>& settings) {
  std::optional<MistSum> out;
  for (const DaySetting& one : settings) {
    if (one.kind != DaySetting::Kind::mist) continue;
    const auto day = climate::mist_day(one.mist);
    if (!day) return std::nullopt;
    if (!out) out = {0, 0, one.mist};
    out->pulses += day->pulses;
    out->seconds += day->time;
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

std::string name_text(const DaySetting& setting) {
  std::string name = setting.name;
  std::replace(name.begin(), name.end(), '_', ' ');
  if (setting.half == Half::day) name += " by day";
  if (setting.half == Half::night) name += " by night";
  return name;
}

std::string describe(const DaySetting& setting) {
  return name_text(setting) + " " + setting.value();
}

std::vector<SettingSpan> setting_spans(const Plan& plan, std::size_t batch, StageId stage) {
  const sheet::Row row = plan.row_of(plan.batches[batch]);
  const calendar::Day start = row.start(stage);
  const int days = row.climate(stage).days();  // a stage of some hours has its day
  std::vector<SettingSpan> spans;
  std::vector<std::size_t> open;  // those that went on to the day before: a taper has many others
  for (int offset = 0; offset < days; ++offset) {
    std::vector<std::size_t> going;
    const StageOfBatch whom{static_cast<std::uint32_t>(batch), stage};
    for (DaySetting& setting : plan.settings.given(whom, start + offset)) {
      const auto same = [&](std::size_t i) {
        const SettingSpan& span = spans[i];
        return span.to == start + offset - 1 && plan::same(span.setting, setting);
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
