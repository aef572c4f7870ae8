/// Private to this module.
#pragma once

#include "book/site/site.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// The value of `tolerance:`, of a room or of the whole site. What is wrong is reported and left
/// out.
Tolerances read_tolerances(const Node& node, text::Diagnostics& diagnostics);

/// The value of `stands:` of a room, in the same way.
std::map<language::Measure, Placed<double>> read_standing(const Node& node,
                                                          text::Diagnostics& diagnostics);

}  // namespace budwood::book
