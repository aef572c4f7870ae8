/// What-ifs of a batch. Private to this module.
#pragma once

#include "plan/plan.hpp"
#include "plan/trials/what_if.hpp"
#include "plan/trials/what_if_target.hpp"
#include "plan/trials/what_if_value.hpp"

namespace budwood::plan {

/// Changes one value of a batch in the book of a what-if and adds it to the list of changes. A
/// value that does not fit is reported. `target` is not `worked_out` or `unknown`.
void change_batch(const Plan& plan, const BatchPlan& batch, const Target& target, const Wish& wish,
                  WhatIf& out, text::Diagnostics& diagnostics);

}  // namespace budwood::plan
