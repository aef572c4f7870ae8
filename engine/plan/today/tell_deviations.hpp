/// What a batch under way does not keep, told. Private to this module.
#pragma once

namespace budwood::plan {

struct BatchPlan;
struct Expanded;
struct Plan;

/// What happened outside of what the protocol says is a note; what cannot be kept any more is a
/// conflict to act on: the day by which the batch is to be ready, and limits of the protocol.
/// Starts that follow from work that was done are told as taken for granted.
void tell_deviations(const Plan& plan, const BatchPlan& batch, Expanded& out);

}  // namespace budwood::plan
