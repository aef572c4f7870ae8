/// Private to this module.
///
/// A room that is too full is a conflict of the plan, a crew that is short is not: work can be
/// moved or helped with on the day, trays without a shelf cannot. Each is told in one place
/// (`check_space.cpp`, `plan/needs/crew_load.hpp`).
#pragma once

#include "plan/plan.hpp"
#include "plan/rooms/load.hpp"

namespace budwood::plan {

/// The rooms of a load alone.
std::vector<RoomLoad> room_loads(const Plan& plan);

}  // namespace budwood::plan
