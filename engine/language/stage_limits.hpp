#pragma once

#include "language/model.hpp"

namespace budwood::language {

/// Reports what of a stage cannot be, as far as the text alone tells: lengths, shares and settings
/// out of their range, and days on which the stage is over. Values that depend on a batch are
/// judged with the batch.
void check_limits(const Protocol& protocol, const Stage& stage, text::Diagnostics& diagnostics);

}  // namespace budwood::language
