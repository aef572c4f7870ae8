/// Private to this module: what would help a batch that finds no place.
///
/// Relief is tried, not guessed: the batch alone beside what all others take, with more days or
/// fewer plants. What would help several is tried with all of them (`level_helps.hpp`).
#pragma once

#include "plan/level/level.hpp"
#include "plan/level/level_problem.hpp"

namespace budwood::plan {

std::string amount_text(const LevelProblem::Named& named, levelling::Amount amount);
std::string crew_text(const std::string& name, bool on_duty);
/// Hours of people, rounded up to a quarter.
std::string hours_text(double seconds);

/// What a group is short of where it stands, and single changes that would each give it a place
/// beside all others: the least that is missing added, a later day, fewer plants.
Unresolved find_relief(const LevelProblem& levelled, const levelling::Schedule& schedule,
                       const std::vector<bool>& dated, levelling::GroupId group, const Plan& plan);

}  // namespace budwood::plan
