#include "plan/settings/changes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace budwood::plan {

using language::Bound;
using language::Half;
using Settings = std::vector<DaySetting>;

namespace {

bool is_mist(const DaySetting& setting) {
  return setting.name == "mist";
}

/// What a setting is in one half of the day; nothing when it is not set.
const DaySetting* find_in(const Settings& settings, const std::string& name, Half half) {
  const auto found = std::find_if(settings.begin(), settings.end(), [&](const DaySetting& one) {
    return one.name == name && (one.half == Half::both || one.half == half);
  });
  return found == settings.end() ? nullptr : &*found;
}

bool same_value(const DaySetting& one, const DaySetting& other) {
  DaySetting moved = other;
  moved.half = one.half;
  return same(one, moved);
}

/// The halves of the day in which `setting` differs from what stands in `others`; nothing when in
/// none. With `missing_only` it differs where nothing stands in `others`.
std::optional<Half> halves_changed(const DaySetting& setting, const Settings& others,
                                   bool missing_only) {
  const auto differs = [&](Half half) {
    if (setting.half != Half::both && setting.half != half) return false;
    const DaySetting* other = find_in(others, setting.name, half);
    return other == nullptr || (!missing_only && !same_value(setting, *other));
  };
  const bool by_day = differs(Half::day);
  const bool by_night = differs(Half::night);
  if (!by_day && !by_night) return std::nullopt;
  return by_day && by_night ? Half::both : by_day ? Half::day : Half::night;
}

Settings mist_among(const Settings& settings) {
  Settings out;
  std::copy_if(settings.begin(), settings.end(), std::back_inserter(out), is_mist);
  return out;
}

constexpr double no_end = std::numeric_limits<double>::infinity();

struct Ends {
  double low = 0, high = 0;
};
Ends ends_of(const DaySetting& setting) {
  return {setting.bound == Bound::at_most ? -no_end : setting.low,
          setting.bound == Bound::at_least ? no_end : setting.high};
}

/// Leaves of a value only what suits another as well, if there is any.
void narrow(DaySetting& setting, const DaySetting& other) {
  // Water by light and water a day cannot be brought together: the first one counts.
  if (!std::isnan(setting.light) || !std::isnan(other.light)) return;
  if (std::isnan(setting.hours)) setting.hours = other.hours;
  const Ends own = ends_of(setting);
  const Ends wanted = ends_of(other);
  const Ends both{std::max(own.low, wanted.low), std::min(own.high, wanted.high)};
  if (!(both.low <= both.high)) return;
  setting.bound = both.low == both.high ? Bound::exact
                  : both.high == no_end ? Bound::at_least
                  : both.low == -no_end ? Bound::at_most
                                        : Bound::range;
  setting.low = setting.bound == Bound::at_most ? both.high : both.low;
  setting.high = setting.bound == Bound::at_least ? both.low : both.high;
}

/// One value of a climate that is brought together, by halves of the day.
struct Halves {
  std::string name;
  std::optional<DaySetting> day, night;
};

void take_in(const DaySetting& setting, std::vector<Halves>& chosen) {
  auto place = std::find_if(chosen.begin(), chosen.end(),
                            [&](const Halves& one) { return one.name == setting.name; });
  if (place == chosen.end()) place = chosen.insert(chosen.end(), {setting.name, {}, {}});
  const auto meet = [&](std::optional<DaySetting>& half, Half which) {
    if (setting.half != Half::both && setting.half != which) return;
    if (half) {
      narrow(*half, setting);
    } else {
      half = setting;
      half->half = which;
    }
  };
  meet(place->day, Half::day);
  meet(place->night, Half::night);
}

/// What decides between two that get the same mist.
double lowest(const Settings& settings, const char* name, double otherwise) {
  double out = otherwise;
  for (const DaySetting& one : settings) {
    if (one.name == name) out = std::min(out == otherwise ? no_end : out, one.low);
  }
  return out;
}

}  // namespace

Settings changes_between(const Settings& before, const Settings& now) {
  Settings changes;
  for (const DaySetting& one : now) {
    if (is_mist(one)) continue;
    if (const auto half = halves_changed(one, before, false)) {
      changes.push_back(one);
      changes.back().half = *half;
    }
  }
  for (const DaySetting& one : before) {
    if (is_mist(one)) continue;
    if (const auto half = halves_changed(one, now, true)) {
      changes.push_back(one);
      changes.back().half = *half;
      changes.back().kind = DaySetting::Kind::unasked;
    }
  }
  const Settings was = mist_among(before);
  const Settings is = mist_among(now);
  if (same(was, is)) return changes;
  changes.insert(changes.end(), is.begin(), is.end());
  if (is.empty()) {
    changes.push_back(was.front());
    changes.back().kind = DaySetting::Kind::off;
  }
  return changes;
}

Settings brought_together(const std::vector<const Settings*>& by_delicacy) {
  if (by_delicacy.size() == 1) return *by_delicacy.front();
  std::vector<Halves> chosen;
  Settings mist;
  for (const Settings* one : by_delicacy) {
    for (const DaySetting& setting : *one) {
      if (!is_mist(setting)) take_in(setting, chosen);
    }
    if (mist.empty()) mist = mist_among(*one);
  }
  Settings out;
  for (Halves& one : chosen) {
    if (one.day && one.night && same_value(*one.day, *one.night)) {
      one.day->half = Half::both;
      one.night.reset();
    }
    if (one.day) out.push_back(*one.day);
    if (one.night) out.push_back(*one.night);
  }
  out.insert(out.end(), mist.begin(), mist.end());
  return out;
}

Delicacy delicacy_of(const Settings& settings) {
  const auto mist = mist_of(settings);
  return {mist ? mist->seconds : 0, lowest(settings, "humidity", -1),
          lowest(settings, "light", no_end)};
}

}  // namespace budwood::plan
