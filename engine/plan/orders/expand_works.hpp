/// The orders of a batch. Private to this module.
#pragma once

#include <cstdint>
#include <vector>

#include "plan/expanded.hpp"
#include "plan/plan.hpp"
#include "plan/today/sights.hpp"

namespace budwood::plan {

/// Adds the orders of a batch that has dates: the work of its stages, and of what its protocol does
/// only `if` something is seen that which was `seen`. Days and states that the book gives hold, and
/// looks at which something was seen are done; what finds nobody, or is too much for its crew, is
/// told.
void expand_works(const Plan& plan, std::uint32_t batch, const SeenInBatch& seen, Expanded& out);

}  // namespace budwood::plan
