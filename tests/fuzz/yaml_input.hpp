#pragma once

#include <optional>

#include "book/yaml/yaml_tree.hpp"
#include "fuzzing.hpp"

namespace budwood::fuzz {

/// What the files of a book are read by: the tree of a text that is UTF-8 and holds something, as
/// `read_book` asks for.
inline std::optional<book::Node> tree_of(const text::Source& source,
                                         text::Diagnostics& diagnostics) {
  if (!text::is_text(source, diagnostics)) return std::nullopt;
  std::optional<book::Node> tree = book::read_tree(source, diagnostics);
  must(tree.has_value() || diagnostics.has_errors(), "neither a tree nor an error");
  return tree && tree->kind == book::Node::Kind::null ? std::nullopt : tree;
}

}  // namespace budwood::fuzz
