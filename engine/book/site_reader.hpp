/// Private to this module.
#pragma once

#include "book/site.hpp"
#include "book/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// The site that the tree of a `site.yaml` describes. What is wrong is reported and left out.
Site read_site(const Node& tree, text::Diagnostics& diagnostics);

}  // namespace budwood::book
