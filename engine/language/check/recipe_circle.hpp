#pragma once

#include "language/model.hpp"

namespace budwood::language {

/// Takes all recipes out of a protocol when some are made of each other in a circle, and reports
/// it.
void refuse_recipe_circle(Protocol& protocol, text::Diagnostics& diagnostics);

}  // namespace budwood::language
