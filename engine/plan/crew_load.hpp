/// Private to this module.
#pragma once

#include "plan/needs.hpp"

namespace budwood::plan {

/// Adds up the labour of a crew, and finds the days on which it is wanted for longer than it is
/// there.
void add_up(const Plan& plan, CrewNeed& need);

}  // namespace budwood::plan
