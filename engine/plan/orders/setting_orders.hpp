/// One order for a room on a day, and not one for each batch in it: a room has one dial.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "plan/orders/settings.hpp"
#include "plan/settings/lamp_light.hpp"
#include "plan/settings/room_settings.hpp"

namespace budwood::plan {

/// A day on which the climate of a room, of a zone of it, or of a cover is set anew or changed.
struct SettingOrder {
  calendar::Day date = 0;    ///< on which it is set
  calendar::Day since = 0;   ///< from which on it is needed; later than `date` when nobody is there
  std::uint32_t place = 0;   ///< in RoomSettings::places
  std::uint32_t period = 0;  ///< in its periods
  std::uint32_t before = 0;  ///< the period that was set before; `period` when there is none
  bool by_timer = false;     ///< the timer of the room changes it by itself
  StageOfBatch lead;         ///< for whom it is set first of all, or who has left
};

/// All of a plan, by date, then by place. On the first day of a stage everything is set that does
/// not stand so already; later what changes and what ends. What is needed from a day on which
/// nobody is there is set on the last day before on which somebody is; what ends then ends on the
/// next. Batches without dates have none.
std::vector<SettingOrder> setting_orders(const Plan& plan);

/// Those that it is for, the most delicate first.
const std::vector<StageOfBatch>& whom(const Plan& plan, const SettingOrder& order);

/// What the mist of one day comes to, over all programmes that run.
struct MistTotal {
  std::int64_t pulses = 0;
  double seconds = 0;            ///< for which the valve is open
  std::optional<double> volume;  ///< m3, for the whole room; none when its flow is not known
  units::Unit volume_unit;       ///< for showing it
};
/// Of settings in a room; nothing when no mist runs.
std::optional<MistTotal> mist_total(const book::Site& site, const std::string& room,
                                    const std::vector<DaySetting>& settings);

/// Everything that a setting order tells people.
struct SettingDetail {
  /// "mist_frame/2/set/2027-06-05", with `all` for a whole room, with batch and stage where no room
  /// is and of a cover
  std::string id;
  std::string batch;     ///< of the plants for which it is set first of all
  std::string cultivar;  ///< "" when the batch is of one kind
  std::string stage;
  std::string stage_title;
  std::string room;
  std::string zone;  ///< "" when the room has only one
  bool cover = false;
  calendar::Day date = 0;
  calendar::Day since = 0;
  bool by_timer = false;
  std::vector<std::string> whom;  ///< "B7/rooting", the most delicate first
  /// What is set to a new value. Mist is told whole when any of it changes; what ends is "off", or,
  /// of other settings, "back to 18 degC" or "not asked for any more".
  std::vector<DaySetting> changes;
  std::optional<MistTotal> mist;  ///< when it is among the changes, and runs
  /// When light is among the changes and it is known how long lamps burn: up to the next change.
  std::optional<LampTotal> lamps;
  /// When water by light is among the changes and the light is known: up to the next change.
  std::optional<WaterTotal> water;
  text::Span line;  ///< of the stage
};

SettingDetail describe(const Plan& plan, const SettingOrder& order);

}  // namespace budwood::plan
