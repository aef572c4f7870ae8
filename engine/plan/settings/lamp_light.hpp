/// Lamps make up for the light that the sun does not bring: daylight outdoors, what the room lets
/// in of it less its shade, and what is asked for, give the hours for which lamps burn.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plan/orders/settings.hpp"

namespace budwood::plan {

/// The light of one day in a room. What is not known is no value.
struct LampDay {
  double daylight = sheet::no_value;  ///< that comes to the plants, mol/m2
  double wanted = sheet::no_value;    ///< at least, mol/m2
  double most = sheet::no_value;      ///< that is asked for, mol/m2
  double longest = 0;                 ///< for which lamps may burn, seconds
  double seconds = sheet::no_value;   ///< for which they burn, as far as they may
  double lamps = sheet::no_value;     ///< light that they give, mol/m2
  double energy = sheet::no_value;    ///< that they take, J/m2
  /// For how long a cover shuts the daylight out, seconds; 0: the day is not too long.
  double dark = 0;

  /// All that comes to the plants, mol/m2; no value where it is not known.
  double total() const { return daylight + lamps; }
  /// What the sun does not bring; no value where it is not known.
  double missing() const;
  /// By what share the daylight is too much: shade that is missing; 0 when it is not.
  double too_much() const;
};

/// Nothing when nobody asks for a sum of light, for light, a photoperiod, a night break or water by
/// light.
///
/// Lamps burn at full strength (`lights up to`), within the photoperiod where one is set, for as
/// long as it takes to the sum; at least for what the day is too short for the photoperiod; and for
/// a night break on top. Where the day is longer than the photoperiod and the room darkens, it is
/// dark for the rest of the 24 hours, half in the morning and half in the evening; the daylight of
/// a clear day goes up and down like half a sine. Light that is asked for so many hours is a sum as
/// well; in a room that lets no daylight in lamps are set to it and burn as long.
std::optional<LampDay> lamp_day(const book::Site& site, const std::string& room,
                                const std::vector<DaySetting>& settings, calendar::Day day);

/// By how much a day, seconds, is longer than a photoperiod allows; 0 when it is not, or when that
/// is not known. What is asked for exactly is held as well as usual.
double day_beyond(const DaySetting* photoperiod, double day_length);

/// Light that comes to plants on a day, mol/m2: through the cover, and of lamps that are asked for;
/// where that is not known the sum that is kept, if one is.
double light_on(const book::Site& site, const std::string& room,
                const std::vector<DaySetting>& settings, calendar::Day day);

/// Water that is given each time that so much light has come, on one day as a rule.
struct WaterDay {
  double times = sheet::no_value;
  double amount = sheet::no_value;  ///< on an area, m
};
/// Nothing when nobody asks for water by light. No value where the light is not known.
std::optional<WaterDay> water_day(const book::Site& site, const std::string& room,
                                  const std::vector<DaySetting>& settings, calendar::Day day);

/// The same over the days on which a room is set one way: on the first day and on the last. Nothing
/// where the light is not known either.
struct WaterTotal {
  WaterDay first, last;
  units::Unit unit;  ///< of the amounts, for showing them
};
std::optional<WaterTotal> water_total(const book::Site& site, const std::string& room,
                                      const std::vector<DaySetting>& settings, calendar::Day from,
                                      calendar::Day to);

/// Light over the days on which a room is set one way: on the first day and on the last.
struct LampTotal {
  LampDay first, last;
};
std::optional<LampTotal> lamp_total(const book::Site& site, const std::string& room,
                                    const std::vector<DaySetting>& settings, calendar::Day from,
                                    calendar::Day to);

}  // namespace budwood::plan
