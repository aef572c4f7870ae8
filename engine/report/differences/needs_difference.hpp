/// How needs differ between two plans. Private to this module.
#pragma once

#include "plan/needs/needs.hpp"
#include "report/differences/comparison.hpp"

namespace budwood::report {

/// What each batch costs in supplies, in labour, in all and for a plant, and all of them together,
/// about "cost": where it differs.
Differences cost_rows(const Comparison& both, const plan::Needs& before, const plan::Needs& after);

}  // namespace budwood::report
