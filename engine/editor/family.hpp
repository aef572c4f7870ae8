/// Private to this module.
#pragma once

#include <set>

#include "editor/workspace.hpp"

namespace budwood::editor {

/// Names of different kinds that cannot be the same thing have different spaces.
enum class NameSpace : std::uint8_t {
  none,
  value,
  supply,
  part,
  observation,
  room,
  crew,
  tag,
  rule,
  rules,
  protocol,
  variant,
};
NameSpace space_of(language::NameKind kind);
/// Whether its names hold in a whole folder and not in one protocol.
bool is_shared(NameSpace space);

/// Files with protocols that may have to do with each other, and the protocols among them that rest
/// on one base.
class Family {
 public:
  Family(const Workspace& workspace, const Document& document);

  const std::vector<SharedDocument>& documents() const { return documents_; }
  /// Whether two protocols rest on the same base in the end. Nobody is of no family.
  bool same(const Document& a, std::size_t owner_a, const Document& b, std::size_t owner_b) const;
  /// The names of all protocols of a family.
  std::set<std::string> names(const Document& document, std::size_t owner) const;
  /// What a name that stands for some value is: one of the declared, or observed, or a supply.
  NameSpace resolve(const Document& document, const language::WrittenName& name) const;
  /// Whether such a name is declared in the family.
  bool declares(const Document& document, std::size_t owner, NameSpace space,
                std::string_view name) const;

 private:
  std::string root(const Document& document, std::size_t owner) const;

  std::vector<SharedDocument> documents_;
};

}  // namespace budwood::editor
