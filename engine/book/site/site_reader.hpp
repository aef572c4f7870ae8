/// Private to this module.
#pragma once

#include <filesystem>

#include "book/site/site.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// The site that the tree of a `site.yaml` in `folder` describes. What is wrong is reported and
/// left out.
Site read_site(const Node& tree, const std::filesystem::path& folder, text::Sources& sources,
               text::Diagnostics& diagnostics);

}  // namespace budwood::book
