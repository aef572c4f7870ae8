/// Setting orders are worked out when they are shown, not when the plan is made: a taper has
/// one a day.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "plan/orders/settings.hpp"

namespace budwood::plan {

struct BatchPlan;
struct Plan;

/// A day on which the climate of a stage is set anew or changed, for one batch.
struct SettingOrder {
  calendar::Day date = 0;
  std::int32_t day = 1;     ///< of the stage, from 1
  std::uint32_t batch = 0;  ///< in Plan::batches
  StageId stage;
  /// What other plants in the room ask for on that day does not end: climate values, a bit each.
  std::uint64_t kept_by_others = 0;
  /// The plants have left the room on that day, and what nobody else asks for ends there.
  bool leaves = false;
};

/// Those of some batches (places in Plan::batches), by date, batch and stage. On the first day of a
/// stage everything is set, but only what differs from the day before when the plants stay in the
/// room; later what changes and what ends. When they leave a room, what ends there. Nothing ends
/// that other plants in the room ask for; in a room with zones that may stand apart, this holds
/// only for what plants leave behind. Batches without dates have none; cultivars that are
/// raised together stand in one climate, which is set for the first of them.
std::vector<SettingOrder> setting_orders(const Plan& plan, const std::vector<std::size_t>& batches);

/// What the mist of one day comes to, over all programmes that run.
struct MistTotal {
  std::int64_t pulses = 0;
  double seconds = 0;            ///< for which the valve is open
  std::optional<double> volume;  ///< m3, for the whole room; none when its flow is not known
  units::Unit volume_unit;       ///< for showing it
};
/// Of day `offset` (0 is the first) of a stage; nothing when no mist runs.
std::optional<MistTotal> mist_total(const Plan& plan, const BatchPlan& batch, StageId stage,
                                    int offset);

/// Everything that a setting order tells people.
struct SettingDetail {
  std::string id;  ///< batch/stage/set/day, or set/end when plants leave; stays when the plan moves
  std::string batch;
  std::string cultivar;  ///< "" when the batch is of one kind
  std::string stage;
  std::string stage_title;
  std::string room;
  calendar::Day date = 0;
  /// What is set to a new value. Mist is told whole when any of it changes; what ends is "off", or,
  /// of other settings, "back to 18 degC" or "not asked for any more".
  std::vector<DaySetting> changes;
  std::optional<MistTotal> mist;  ///< when it is among the changes, and runs
  text::Span line;                ///< of the stage
};

SettingDetail describe(const Plan& plan, const SettingOrder& order);

}  // namespace budwood::plan
