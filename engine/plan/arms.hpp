/// The trials of a plan: what was drawn, and what they can tell. Private to this module.
#pragma once

#include "plan/plan.hpp"

namespace budwood::plan {

/// Adds to the notes of each trial which trays its arms have, and warns of one that is too small to
/// tell a difference that anybody would act on. A trial that was changed after its trays were drawn
/// is reported: what was noted of them is of another lot. To be called when the sheets are
/// evaluated.
void tell_trials(Plan& plan, text::Diagnostics& diagnostics);

}  // namespace budwood::plan
