#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "report/formats/filter.hpp"

/// What is set on each day of a stage and what the plants feel of it, for the writers of settings.
namespace budwood::report {

/// One value of a day.
struct SettingsColumn {
  enum class Of : std::uint8_t {
    climate,
    mist_interval,
    mist_pulses,
    mist_time,
    mist_volume,
    daylight,     ///< that comes to the plants
    lamps,        ///< how long they burn
    lamp_energy,  ///< that they take
    waterings,    ///< how often water by light is given
  };
  std::string name;  ///< "air_night"; "set_air_night" of what is set
  std::string head;  ///< for people, of both halves of the day together: "Air"
  units::Unit unit;  ///< without a symbol for pulses
  Of of = Of::climate;
  language::Measure measure = language::Measure::air;
  language::Half half = language::Half::both;
  bool set = false;  ///< as it is set in the room, not as the protocol asks for it
};
/// What is asked for, then what is set; in the units of a system.
const std::vector<SettingsColumn>& settings_columns(units::System system);

struct SettingsDay {
  calendar::Day date = 0;
  int day = 1;                 ///< of the stage; while plants wait for the next, its last
  int waited = 0;              ///< so many days after it; the settings of the last day go on
  std::vector<double> values;  ///< by column and in its unit; of ranges the middle; NaNs for none
};

/// A stage of a batch in which something is set, with those of its days that pass a filter.
struct SettingsStage {
  std::size_t batch = 0;  ///< in Plan::batches
  language::StageId stage;
  std::vector<SettingsDay> days;
};

/// Calls `visit` with each that has days, by batch, then as in the protocol, until it gives false.
/// Values are in the units of the system.
void for_each_stage(const plan::Plan& plan, const Filter& filter, units::System system,
                    const std::function<bool(const SettingsStage&)>& visit);

}  // namespace budwood::report
