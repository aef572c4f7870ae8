/// Private to this module.
#pragma once

#include <vector>

#include "book/site/site.hpp"
#include "language/model.hpp"
#include "text/text.hpp"

namespace budwood::plan {

/// Warns of what the raw water of a site forbids, or asks for: feeds weaker than the water itself,
/// alkalinity without an acid, hard water in mist. Each once.
void check_water(const std::vector<const language::Protocol*>& protocols, const book::Site& site,
                 text::Diagnostics& diagnostics);

}  // namespace budwood::plan
