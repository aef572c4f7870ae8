/// Private to this module.
#pragma once

#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

/// The days on which a crew is wanted for longer than it is there. `labour` goes by day; none when
/// the site says nothing of the crew (`facts` is nullptr).
std::vector<CrewOverload> overloads_of(const Plan& plan, const std::vector<Labour>& labour,
                                       const book::Crew* facts);

/// Adds up the labour of a crew, and finds the days on which it is wanted for longer than it is
/// there.
void add_up(const Plan& plan, CrewNeed& need);

}  // namespace budwood::plan
