/// Private to this module.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>

#include "plan/rooms/climate_profile.hpp"
#include "plan/settings/stage_settings.hpp"

namespace budwood::plan {

struct BatchPlan;
struct Expanded;
struct Plan;

/// Tells of settings that are not as they should be.
class SettingTeller {
 public:
  /// Adds a note where a taper of mist takes more than a third of the water at once, as it is set.
  /// The same where a light sum is asked for and it is not known how long lamps burn for it, once a
  /// room.
  void tell(const Plan& plan, const BatchPlan& batch, Expanded& out);

 private:
  void tell_of_light(const Plan& plan, const BatchPlan& batch, const language::Stage& stage,
                     Expanded& out);

  std::set<std::string> rooms_told_;
  /// Batches of one climate that begin a stage on one day share it.
  const std::optional<SteepFall>& fall_of(const Plan& plan, const sheet::Row& row, StageId stage);

  ClimateProfiles profiles_;
  std::map<std::pair<std::size_t, calendar::Day>, std::optional<SteepFall>> falls_;
};

}  // namespace budwood::plan
