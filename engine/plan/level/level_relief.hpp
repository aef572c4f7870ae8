/// Private to this module: what would help a batch that finds no place.
#pragma once

#include "plan/level/level.hpp"
#include "plan/level/level_problem.hpp"

namespace budwood::plan {

/// What a group is short of where it stands, and single changes that would each give it a place
/// beside all others: the least that is missing added, a later day, fewer plants.
Unresolved find_relief(const LevelProblem& levelled, const levelling::Schedule& schedule,
                       const std::vector<bool>& dated, levelling::GroupId group, const Plan& plan);

}  // namespace budwood::plan
