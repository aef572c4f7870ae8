/// Names across files: where one is declared, where it is used, and another name for it in all
/// these places. Protocols that are based on each other, and variants, share their names.
#pragma once

#include "editor/workspace.hpp"

namespace budwood::editor {

/// A name at a place.
struct NamedThing {
  language::NameKind kind = language::NameKind::other;  ///< of its declaration, where there is one
  std::string name;
  std::size_t owner = language::WrittenName::nobody;  ///< in the document that was asked about
  Range range;                                        ///< where it stands there
};
/// Nothing where there is no name.
std::optional<NamedThing> name_at(const Workspace& workspace, const Document& document,
                                  Position position);

struct NameUse {
  Location where;
  bool declares = false;
};
/// All places of the name at a place, by file and place; those in books among them.
std::vector<NameUse> uses_of(const Workspace& workspace, const Document& document,
                             Position position);
/// Where it is declared: in its own protocol, else in the one that this is based on.
std::optional<Location> declaration_of(const Workspace& workspace, const Document& document,
                                       Position position);

struct FileEdit {
  std::filesystem::path path;
  Range range;
  std::string text;
};
struct Renaming {
  std::string problem;  ///< why there is none; "" when all is well
  std::vector<FileEdit> edits;
};
/// Another name for the thing at a place.
Renaming rename(const Workspace& workspace, const Document& document, Position position,
                const std::string& name);

/// A declaration that can be used in a document, its bases included.
struct DeclaredName {
  language::NameKind kind = language::NameKind::other;
  std::string name;
  std::string line;  ///< the line on which it is declared
  SharedDocument document;
  text::Span span;
};
/// Those of the protocol at a place, of what that is based on, and of its variants.
std::vector<DeclaredName> declared_for(const Workspace& workspace, const Document& document,
                                       Position position);
/// The protocol or rule set at a place; nobody outside of all.
std::size_t owner_at(const Document& document, std::uint32_t offset);

}  // namespace budwood::editor
