/// Private to this module.
#pragma once

#include "plan/plan.hpp"
#include "plan/rooms/load.hpp"

namespace budwood::plan {

/// The rooms of a load alone.
std::vector<RoomLoad> room_loads(const Plan& plan);

}  // namespace budwood::plan
