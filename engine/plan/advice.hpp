/// What can be carried out as it is written and is hardly meant so.
#pragma once

#include "text/text.hpp"

namespace budwood::plan {

struct Plan;

/// Notes, once, that batches do not say how sure they must be of their number.
void advise_assurance(const Plan& plan, text::Diagnostics& diagnostics);

/// Warns, once a protocol, of work that takes the same time, or the same amount, for however many
/// plants, in a batch that is too large for that.
void advise_fixed_work(const Plan& plan, text::Diagnostics& diagnostics);

/// Warns of work for more people than its crew has.
void check_people(const Plan& plan, text::Diagnostics& diagnostics);

/// Warns of more plants recorded at the end of a stage than can have come of those before it.
void check_counted(const Plan& plan, text::Diagnostics& diagnostics);

}  // namespace budwood::plan
