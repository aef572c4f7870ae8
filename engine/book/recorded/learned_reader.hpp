/// Private to this module.
#pragma once

#include "book/recorded/learned_values.hpp"
#include "book/yaml/yaml_tree.hpp"

namespace budwood::book {

/// `learned.yaml`. Entries with mistakes are reported and left out, and so is a second one for the
/// same input.
std::vector<LearnedValue> read_learned(const Node& tree, text::Diagnostics& diagnostics);

}  // namespace budwood::book
