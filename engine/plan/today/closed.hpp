/// Batches of which the last plants are gone. Private to this module.
#pragma once

#include <optional>

#include "calendar/calendar.hpp"

namespace budwood::plan {

struct BatchPlan;
struct Plan;

/// The day on which the last plants of a batch were gone, as recorded: every stage that no other
/// takes plants from was over, or nothing was left to come into it. Nothing while there are plants,
/// or when that is after today.
std::optional<calendar::Day> closed_on(const Plan& plan, const BatchPlan& batch);

}  // namespace budwood::plan
