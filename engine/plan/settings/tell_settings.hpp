/// Private to this module.
#pragma once

namespace budwood::plan {

struct BatchPlan;
struct Plan;

/// Adds a note where a taper of mist takes more than a third of the water at once, as it is set.
void tell_settings(Plan& plan, const BatchPlan& batch);

}  // namespace budwood::plan
