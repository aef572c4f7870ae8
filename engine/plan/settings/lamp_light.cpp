#include "plan/settings/lamp_light.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "climate/sunlight.hpp"

namespace budwood::plan {

using language::Bound;
using language::Measure;

namespace {

constexpr double a_day = units::seconds_a_day;
/// What asks for light.
constexpr std::array lit_measures{Measure::light_sum, Measure::light, Measure::photoperiod,
                                  Measure::night_break};

/// By day, of what is set by halves.
const DaySetting* find_setting(const std::vector<DaySetting>& settings, Measure measure) {
  const std::string& name = language::facts_of(measure).name;
  const auto found = std::find_if(settings.begin(), settings.end(), [&](const DaySetting& one) {
    return one.name == name && one.kind == DaySetting::Kind::level &&
           one.half != language::Half::night;
  });
  return found == settings.end() ? nullptr : &*found;
}

/// Water by light; nullptr when nobody asks for it.
const DaySetting* water_by_light(const std::vector<DaySetting>& settings) {
  const DaySetting* const water = find_setting(settings, Measure::irrigation);
  return water == nullptr || std::isnan(water->light) ? nullptr : water;
}

double middle_of(const DaySetting* setting, double otherwise) {
  return setting == nullptr ? otherwise : setting->low + (setting->high - setting->low) / 2;
}

/// One room on one day.
class RoomLight {
 public:
  RoomLight(const book::Site& site, const std::string& room,
            const std::vector<DaySetting>& settings, calendar::Day day)
      : room_(site.find_room(room)),
        sum_(find_setting(settings, Measure::light_sum)),
        light_(find_setting(settings, Measure::light)),
        photoperiod_(find_setting(settings, Measure::photoperiod)),
        night_break_(find_setting(settings, Measure::night_break)) {
    if (room_ != nullptr && room_->can) strength_ = room_->can->light;
    darkens_ = room_ != nullptr && room_->can && room_->can->darkens;
    dark_ = room_ != nullptr && room_->lets_in && room_->lets_in->value == 0;
    if (site.latitude) {
      day_length_ = climate::day_length(site.latitude->value, climate::day_of_year(day));
    }
    if (dark_) day_length_ = 0;
    shade_ = middle_of(find_setting(settings, Measure::shade), 0);
    radiation_ = site.radiation_on(day);
  }

  LampDay run() const {
    LampDay out;
    const double over = darkens_ ? day_beyond(photoperiod_, day_length_) : 0;
    if (over > 0) out.dark = a_day - (day_length_ - over);
    out.daylight = daylight() * share_of_light(over);
    set_wanted(out);
    const double night = middle_of(night_break_, 0);
    out.longest = std::min(lamp_hours(), a_day - night);
    const double period = for_photoperiod();
    const double wanted = std::isnan(period) ? period : std::max(for_sum(out), period);
    out.seconds = std::isnan(wanted) ? wanted : std::min(wanted, out.longest) + night;
    const double full = strongly(out);
    out.lamps = full > 0 ? full * strength_ : full;
    // Lamps that are set to the light give it, however strong they may be.
    if (is_set_to_light() && !(strength_ > 0)) out.lamps = out.wanted;
    out.energy = full * watts();
    return out;
  }

  /// A sum that is kept says itself how much comes, where nobody knows what the sun brings of it.
  double total() const {
    const double known = run().total();
    const bool kept = sum_ != nullptr && sum_->bound == Bound::exact;
    return std::isnan(known) && kept ? sum_->low * a_day : known;
  }

 private:
  double daylight() const {
    if (dark_) return 0;
    if (room_ == nullptr || !room_->lets_in || !radiation_) return sheet::no_value;
    return climate::light_of_radiation(*radiation_) * room_->lets_in->value * (1 - shade_);
  }

  /// What is left of the light of a day that is so much shorter.
  double share_of_light(double over) const {
    return over > 0 ? std::sin(std::numbers::pi / 2 * (day_length_ - over) / day_length_) : 1;
  }

  /// For how long the light of a stage is kept, or lamps may burn at all.
  double lamp_hours() const {
    if (light_ != nullptr && !std::isnan(light_->hours)) return light_->hours;
    const bool open = photoperiod_ != nullptr && photoperiod_->bound == Bound::at_least;
    return open ? a_day : middle_of(photoperiod_, a_day);
  }

  void set_wanted(LampDay& out) const {
    if (sum_ != nullptr) {
      if (sum_->bound != Bound::at_most) out.wanted = sum_->low * a_day;
      if (sum_->bound != Bound::at_least) out.most = sum_->high * a_day;
      return;
    }
    if (light_ == nullptr || light_->bound == Bound::at_most) return;
    const bool timed = !std::isnan(light_->hours) || photoperiod_ != nullptr;
    const double hours = timed || dark_ ? lamp_hours() : day_length_;
    out.wanted = light_->low * hours;
  }

  /// In a dark room lamps are set to the light; a sum is reached at full strength.
  bool is_set_to_light() const { return dark_ && sum_ == nullptr && light_ != nullptr; }

  double for_sum(const LampDay& day) const {
    if (std::isnan(day.wanted)) return 0;
    if (is_set_to_light()) return lamp_hours();
    const double missing = day.missing();
    if (missing <= 0) return 0;
    return strength_ > 0 ? missing / strength_ : sheet::no_value;
  }

  double for_photoperiod() const {
    if (photoperiod_ == nullptr || photoperiod_->bound == Bound::at_most) return 0;
    if (std::isnan(day_length_)) return sheet::no_value;
    const double missing = std::max(0.0, middle_of(photoperiod_, 0) - day_length_);
    return strength_ > 0 || missing == 0 ? missing : sheet::no_value;
  }

  /// For how long lamps at full strength would take the same.
  double strongly(const LampDay& day) const {
    if (!is_set_to_light() || !(strength_ > 0)) return day.seconds;
    return day.wanted / strength_ + middle_of(night_break_, 0);
  }

  /// That the lamps take at full strength, on a square metre.
  double watts() const {
    if (room_ == nullptr || !room_->lamps) return sheet::no_value;
    if (room_->lamps->power) return *room_->lamps->power;
    return strength_ > 0 ? strength_ / *room_->lamps->efficacy : sheet::no_value;
  }

  const book::Room* room_;
  const DaySetting* sum_;
  const DaySetting* light_;
  const DaySetting* photoperiod_;
  const DaySetting* night_break_;
  double strength_ = 0;
  bool darkens_ = false;
  bool dark_ = false;  ///< it lets no daylight in
  double day_length_ = sheet::no_value;
  double shade_ = 0;
  std::optional<double> radiation_;
};

}  // namespace

double day_beyond(const DaySetting* photoperiod, double day_length) {
  if (photoperiod == nullptr || photoperiod->bound == Bound::at_least) return 0;
  const double over = day_length - photoperiod->high;
  const bool exact = photoperiod->bound == Bound::exact;
  const double tolerance = exact ? language::facts_of(Measure::photoperiod).tolerance : 0;
  return over > tolerance ? over : 0;
}

double LampDay::missing() const {
  return wanted - daylight;
}

double LampDay::too_much() const {
  return daylight > most && daylight > 0 ? 1 - most / daylight : 0;
}

std::optional<LampDay> lamp_day(const book::Site& site, const std::string& room,
                                const std::vector<DaySetting>& settings, calendar::Day day) {
  // Most days of a season ask for no light: nothing is worked out for them.
  const bool asked = std::any_of(lit_measures.begin(), lit_measures.end(), [&](Measure measure) {
    return find_setting(settings, measure) != nullptr;
  });
  if (!asked && water_by_light(settings) == nullptr) return std::nullopt;
  LampDay out = RoomLight(site, room, settings, day).run();
  if (!asked) out.seconds = out.energy = sheet::no_value;  // nobody burns lamps for water
  return out;
}

double light_on(const book::Site& site, const std::string& room,
                const std::vector<DaySetting>& settings, calendar::Day day) {
  return RoomLight(site, room, settings, day).total();
}

std::optional<WaterDay> water_day(const book::Site& site, const std::string& room,
                                  const std::vector<DaySetting>& settings, calendar::Day day) {
  const DaySetting* const water = water_by_light(settings);
  if (water == nullptr) return std::nullopt;
  const double times = light_on(site, room, settings, day) / water->light;
  return WaterDay{times, times * water->low};
}

std::optional<WaterTotal> water_total(const book::Site& site, const std::string& room,
                                      const std::vector<DaySetting>& settings, calendar::Day from,
                                      calendar::Day to) {
  const auto first = water_day(site, room, settings, from);
  const auto last = water_day(site, room, settings, to);
  if (!first || !last || std::isnan(first->times)) return std::nullopt;
  return WaterTotal{*first, *last, units::in_system(*units::find_unit("L/m2"), site.units)};
}

std::optional<LampTotal> lamp_total(const book::Site& site, const std::string& room,
                                    const std::vector<DaySetting>& settings, calendar::Day from,
                                    calendar::Day to) {
  const auto first = lamp_day(site, room, settings, from);
  const auto last = lamp_day(site, room, settings, to);
  if (!first || !last) return std::nullopt;
  return LampTotal{*first, *last};
}

}  // namespace budwood::plan
