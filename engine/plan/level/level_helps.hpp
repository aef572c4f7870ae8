/// Private to this module: what would help over a whole season.
///
/// Each change is tried: with so much more of a room or a crew, the batches that lack it look for
/// places beside all others. What they then take beyond what there is, is the change.
#pragma once

#include <string>
#include <vector>

#include "plan/level/level.hpp"
#include "plan/level/level_check.hpp"
#include "plan/level/level_problem.hpp"

namespace budwood::plan {

/// Changes for groups that find no place, and for those that are late. `order` is that in which
/// groups choose.
std::vector<Help> find_helps(const LevelProblem& levelled, const levelling::Schedule& schedule,
                             const std::vector<bool>& placed,
                             const std::vector<levelling::GroupId>& order, const Plan& plan);

/// The hours that a batch lacks in the plan of its levelled dates.
void add_help(const Plan& plan, const std::string& batch, const std::vector<const Fault*>& faults,
              std::vector<Help>& helps);

/// Those that help most batches first, then those that save most days, then the cheapest; no more
/// than people will read.
void sort_helps(std::vector<Help>& helps);

}  // namespace budwood::plan
