/// Private to this module.
#pragma once

#include <optional>
#include <string>

#include "editor/workspace.hpp"

namespace budwood::editor {

/// What a word in the YAML of a book speaks of: the place in a protocol where that is declared, or
/// where it is used when it is declared nowhere, such as a room.
struct Anchor {
  language::NameKind kind = language::NameKind::other;
  std::string name;
  Range here;  ///< in the file of the book
  SharedDocument document;
  Position position;
};

/// Nothing where the word is no name of a protocol's.
std::optional<Anchor> anchor_of(const Workspace& workspace, const Document& document,
                                Position position);

/// What the reference says of the key at a place of a book: Markdown; "" where there is no known
/// key.
std::string about_key_at(const Document& document, Position position, Range& word);

}  // namespace budwood::editor
