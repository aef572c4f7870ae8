/// The energy that settings take: heat through the cover of a room, and its lamps.
///
/// A room is kept, and lit, as a whole, or each zone of it for its share, on the days on which
/// plants in it ask for it. What stands there on a day shares it, by the space that it takes, else
/// by plants. The heat of the sun and of lamps is not taken off, so it is what is wanted on dull
/// days.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "plan/plan.hpp"

namespace budwood::plan {

/// Joules.
struct EnergyUse {
  double lamps = 0;
  double heat = 0;
  double total() const { return lamps + heat; }
};

struct RoomEnergy {
  std::string room;
  std::string zone;         ///< "" when it has only one
  double lamp_seconds = 0;  ///< for which its lamps burn, all days together
  EnergyUse use;
};

struct StageEnergy {
  StageOfBatch whom;
  EnergyUse use;
};

struct PlanEnergy {
  std::vector<RoomEnergy> rooms;    ///< that take some, by name
  std::vector<StageEnergy> stages;  ///< by batch and stage
  EnergyUse total() const;
};

/// Rooms of which the site does not say what they lose have no heat, those of which it does not say
/// what their lamps take, or how large they are, no energy of lamps.
PlanEnergy energy_of(const Plan& plan);

}  // namespace budwood::plan
