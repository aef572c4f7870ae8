/// What the rooms of a site can be set to, and what they can do. Private to this module.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "book/site/dials.hpp"
#include "book/yaml/yaml_tree.hpp"

namespace budwood::book {

/// The value of `steps:` of a room or of the site.
Dials read_dials(const Node& node, text::Diagnostics& diagnostics);

/// The value of `can:`: "none", or a list such as `[heats, lights up to 150 umol/m2/s]`.
std::optional<Abilities> read_abilities(const Node& node, text::Diagnostics& diagnostics);

/// The value of `by_timer:`: "all", or a list of settings.
Timers read_timers(const Node& node, text::Diagnostics& diagnostics);

/// The value of `zones:` when it is a list: the names of the zones.
std::vector<std::string> read_zone_names(const Node& node, text::Diagnostics& diagnostics);

}  // namespace budwood::book
