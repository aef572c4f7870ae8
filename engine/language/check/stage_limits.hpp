#pragma once

#include "language/model.hpp"

namespace budwood::language {

/// Reports written numbers of a stage that cannot be right whatever the batch: lengths, shares,
/// amounts and settings out of their range. What has to be worked out is judged when the protocol
/// is tried out, and with each batch.
void check_limits(const Protocol& protocol, const Stage& stage, text::Diagnostics& diagnostics);

}  // namespace budwood::language
