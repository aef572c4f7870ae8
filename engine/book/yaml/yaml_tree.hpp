/// YAML text as a tree in which every value knows its place. Private to this module.
///
/// The tree is built from yaml-cpp's events, because they know their places and let nesting be
/// bounded before it recurses. Anchors, aliases and tags are refused, so nothing can expand.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "text/text.hpp"

namespace budwood::book {

struct Entry;

/// A value: nothing, a piece of text, a list or a map. Scalars stay text: what they mean depends on
/// who reads them.
struct Node {
  enum class Kind { null, scalar, list, map };
  Kind kind = Kind::null;
  text::Span span;             ///< of nothing: the key that has no value
  std::string value;           ///< of a scalar
  std::vector<Node> items;     ///< of a list
  std::vector<Entry> entries;  ///< of a map, in the order written; keys are unique

  /// The value of a key; nullptr when this is not a map or has no such key.
  const Node* find(std::string_view key) const;
};

struct Entry {
  std::string key;
  text::Span key_span;
  Node value;
};

/// Nesting deeper than this is refused.
inline constexpr std::size_t deepest_nesting = 50;
/// More values than this in one file are refused.
inline constexpr std::size_t most_values = 1'000'000;

/// The tree of a source; for empty text a null node. Reports and gives nothing when the text is not
/// YAML. Refused as well: anchors, aliases, tags, several documents, keys that are not plain text
/// or stand twice, control characters, excessive nesting.
std::optional<Node> read_tree(const text::Source& source, text::Diagnostics& diagnostics);

}  // namespace budwood::book
