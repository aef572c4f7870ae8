/// What one batch asks of its places, day by day, for those who compare plans: a room has orders
/// (see setting_orders.hpp), a batch has changes.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "plan/orders/settings.hpp"

namespace budwood::plan {

struct BatchPlan;
struct Plan;

/// A day of a stage on which what it asks for is another than on the day before.
struct SettingChange {
  calendar::Day date = 0;
  std::int32_t day = 1;     ///< of the stage, from 1
  std::uint32_t batch = 0;  ///< in Plan::batches
  StageId stage;
};

/// Those of some batches (places in Plan::batches), by date, batch and stage. On the first day of a
/// stage all that it asks for. Batches without dates have none; cultivars that are raised together
/// stand in one climate, which the first of them asks for.
std::vector<SettingChange> setting_changes(const Plan& plan,
                                           const std::vector<std::size_t>& batches);

/// "batch/stage/set/day"; stays when the plan moves.
std::string change_id(const Plan& plan, const SettingChange& change);
/// What is another than on the day before, as it is set at the site.
std::vector<DaySetting> changes_of(const Plan& plan, const SettingChange& change);

}  // namespace budwood::plan
