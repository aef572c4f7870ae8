/// Private to this module.
#pragma once

#include "book/site/site.hpp"
#include "book/yaml/yaml_tree.hpp"

namespace budwood::book {

/// `names:` of a site: what it calls the rooms, crews and supplies of protocols. A key is a
/// protocol's name for something, with `room`, `crew` or `supply` before it where only that is
/// meant.
std::vector<Site::OwnName> read_own_names(const Node& node, text::Diagnostics& diagnostics);

/// `units:` of a site: `metric` or `us`.
std::optional<units::System> read_unit_system(const Node& node, text::Diagnostics& diagnostics);

}  // namespace budwood::book
