/// Written numbers are judged where they stand, values where they come to be: what is worked
/// out is judged by expectations that the builders of the sheet attach to cells, once with the
/// usual inputs (`sheet/template/trial.hpp`) and again for every batch.
#pragma once

#include "language/model.hpp"

namespace budwood::language {

/// Reports written numbers of a stage that cannot be right whatever the batch: lengths, shares,
/// amounts and settings out of their range. What has to be worked out is judged when the protocol
/// is tried out, and with each batch.
void check_limits(const Protocol& protocol, const Stage& stage, text::Diagnostics& diagnostics);

}  // namespace budwood::language
