/// Private to this module.
#pragma once

#include <vector>

#include "book/batches/batch.hpp"
#include "book/site/site.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// The batches that the tree of a `batches.yaml` describes, in its order. A batch with a mistake is
/// reported and left out. What batches leave out is that of the file, else of the site.
std::vector<Batch> read_batches(const Node& tree, const Site& site, text::Diagnostics& diagnostics);

}  // namespace budwood::book
