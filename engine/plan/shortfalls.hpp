/// A count takes the place of what was expected and goes on from there. What a join needs does
/// not shrink with it: too few plants are a conflict, because the order was promised.
#pragma once

namespace budwood::plan {

struct Plan;
struct BatchPlan;
struct Expanded;

/// Adds a conflict for each chain of a batch in which fewer plants were counted than what follows
/// needs of it.
void add_shortfalls(const Plan& plan, const BatchPlan& batch, Expanded& out);

}  // namespace budwood::plan
