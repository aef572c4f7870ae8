#include "editor/names.hpp"

#include <algorithm>

#include "editor/books/anchor.hpp"
#include "editor/books/names.hpp"
#include "editor/family.hpp"

namespace budwood::editor {

using language::NameKind;
using language::WrittenName;

namespace {

const WrittenName* written_at(const Document& document, std::uint32_t offset) {
  for (const WrittenName& name : document.written().names) {
    if (name.span.begin <= offset && offset <= name.span.end) return &name;
  }
  return nullptr;
}

/// The name at a place and what it is the name of, in all files that have to do with it.
struct Sought {
  std::string name;
  NameSpace space = NameSpace::none;
  std::size_t owner = WrittenName::nobody;
  const WrittenName* written = nullptr;
};

std::optional<Sought> sought_at(const Family& family, const Document& document, Position position) {
  const WrittenName* name = written_at(document, document.offset(position));
  if (name == nullptr) return std::nullopt;
  const NameSpace space = family.resolve(document, *name);
  if (space == NameSpace::none) return std::nullopt;
  return Sought{std::string(name->text()), space, name->owner, name};
}

bool by_place(const NameUse& a, const NameUse& b) {
  return std::pair(a.where.path, a.where.range) < std::pair(b.where.path, b.where.range);
}

std::vector<NameUse> all_uses(const Workspace& workspace, const Family& family,
                              const Document& document, const Sought& sought) {
  std::vector<NameUse> out;
  for (const SharedDocument& one : family.documents()) {
    for (const WrittenName& name : one->written().names) {
      if (name.text() != sought.name) continue;
      if (!is_shared(sought.space) && !family.same(document, sought.owner, *one, name.owner)) {
        continue;
      }
      if (family.resolve(*one, name) != sought.space) continue;
      out.push_back({{one->path(), one->range(name.span)}, name.declares});
    }
  }
  for (Location& place :
       places_in_books(workspace, document, family, sought.space, sought.name, sought.owner)) {
    out.push_back({std::move(place), false});
  }
  std::sort(out.begin(), out.end(), by_place);
  return out;
}

/// A name as the language reads it.
bool is_name(const std::string& name) {
  const text::Source source("name", "part " + name);
  const language::Written written = language::look_at(source);
  return written.words.size() == 2 && written.words[1].kind == language::WrittenWord::Kind::name &&
         text::text_of(written.words[1].span) == name;
}

}  // namespace

std::size_t owner_at(const Document& document, std::uint32_t offset) {
  std::size_t found = WrittenName::nobody;
  const auto& owners = document.written().owners;
  for (std::size_t i = 0; i < owners.size(); ++i) {
    // The last that holds the place is the innermost.
    if (owners[i].span.begin <= offset && offset <= owners[i].span.end) found = i;
    // Of text that is not closed the last protocol goes on to the end.
    if (found == WrittenName::nobody && i + 1 == owners.size() && owners[i].span.begin <= offset) {
      found = i;
    }
  }
  return found;
}

std::optional<NamedThing> name_at(const Workspace& workspace, const Document& document,
                                  Position position) {
  if (document.kind() != FileKind::protocol) {
    const auto anchor = anchor_of(workspace, document, position);
    if (!anchor) return std::nullopt;
    return NamedThing{anchor->kind, anchor->name, WrittenName::nobody, anchor->here};
  }
  const WrittenName* name = written_at(document, document.offset(position));
  if (name == nullptr) return std::nullopt;
  NamedThing out{name->kind, std::string(name->text()), name->owner, document.range(name->span)};
  for (const DeclaredName& one : declared_for(workspace, document, position)) {
    const bool value = name->kind == NameKind::value || space_of(one.kind) == space_of(name->kind);
    if (one.name == out.name && value) {
      out.kind = one.kind;
      break;
    }
  }
  return out;
}

std::vector<NameUse> uses_of(const Workspace& workspace, const Document& document,
                             Position position) {
  if (document.kind() != FileKind::protocol) {
    const auto anchor = anchor_of(workspace, document, position);
    return anchor ? uses_of(workspace, *anchor->document, anchor->position)
                  : std::vector<NameUse>{};
  }
  const Family family(workspace, document);
  const auto sought = sought_at(family, document, position);
  return sought ? all_uses(workspace, family, document, *sought) : std::vector<NameUse>{};
}

std::optional<Location> declaration_of(const Workspace& workspace, const Document& document,
                                       Position position) {
  if (document.kind() != FileKind::protocol) {
    const auto anchor = anchor_of(workspace, document, position);
    return anchor ? declaration_of(workspace, *anchor->document, anchor->position) : std::nullopt;
  }
  const Family family(workspace, document);
  const auto sought = sought_at(family, document, position);
  if (!sought) return std::nullopt;
  std::optional<Location> found;
  for (const SharedDocument& one : family.documents()) {
    for (const WrittenName& name : one->written().names) {
      const bool same =
          name.declares && space_of(name.kind) == sought->space && name.text() == sought->name;
      const bool related =
          is_shared(sought->space) || family.same(document, sought->owner, *one, name.owner);
      if (!same || !related) continue;
      const bool own = one->path() == document.path() && name.owner == sought->owner;
      if (own) return Location{one->path(), one->range(name.span)};
      if (!found) found = Location{one->path(), one->range(name.span)};
    }
  }
  return found;
}

Renaming rename(const Workspace& workspace, const Document& document, Position position,
                const std::string& name) {
  if (document.kind() != FileKind::protocol) {
    const auto anchor = anchor_of(workspace, document, position);
    if (anchor) return rename(workspace, *anchor->document, anchor->position, name);
    return {"There is no name here that can be changed.", {}};
  }
  const Family family(workspace, document);
  const auto sought = sought_at(family, document, position);
  if (!sought) return {"There is no name here that can be changed.", {}};
  if (!is_name(name)) {
    return {"`" + name + "` is no name: letters, digits and _, no word of the language.", {}};
  }
  if (name == sought->name) return {};
  const std::vector<NameUse> uses = all_uses(workspace, family, document, *sought);
  const bool declared =
      std::any_of(uses.begin(), uses.end(), [](const NameUse& use) { return use.declares; });
  if (!declared && !is_shared(sought->space)) {
    return {"`" + sought->name + "` is declared in no file that can be found.", {}};
  }
  if (!is_shared(sought->space) && family.declares(document, sought->owner, sought->space, name)) {
    return {"There is a `" + name + "` already.", {}};
  }
  Renaming out;
  for (const NameUse& use : uses) out.edits.push_back({use.where.path, use.where.range, name});
  return out;
}

std::vector<DeclaredName> declared_for(const Workspace& workspace, const Document& document,
                                       Position position) {
  std::vector<DeclaredName> out;
  const std::size_t owner = owner_at(document, document.offset(position));
  const Family family(workspace, document);
  for (const SharedDocument& one : family.documents()) {
    for (const WrittenName& name : one->written().names) {
      if (!name.declares || name.kind == NameKind::variable) continue;
      const bool shared = is_shared(space_of(name.kind));
      if (!shared && !family.same(document, owner, *one, name.owner)) continue;
      const std::size_t line = one->source().place(name.span.begin).line;
      out.push_back({name.kind, std::string(name.text()), std::string(one->source().line(line)),
                     one, name.span});
    }
  }
  return out;
}

}  // namespace budwood::editor
