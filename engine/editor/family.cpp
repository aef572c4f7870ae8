#include "editor/family.hpp"

#include <algorithm>

namespace budwood::editor {

using language::NameKind;
using language::WrittenName;
using language::WrittenOwner;

NameSpace space_of(NameKind kind) {
  switch (kind) {
    case NameKind::input:
    case NameKind::let:
    case NameKind::table:
    case NameKind::stage:
    case NameKind::value:
      return NameSpace::value;
    case NameKind::supply:
      return NameSpace::supply;
    case NameKind::part:
      return NameSpace::part;
    case NameKind::observation:
      return NameSpace::observation;
    case NameKind::room:
      return NameSpace::room;
    case NameKind::crew:
      return NameSpace::crew;
    case NameKind::tag:
      return NameSpace::tag;
    case NameKind::rule:
      return NameSpace::rule;
    case NameKind::rules:
      return NameSpace::rules;
    case NameKind::protocol:
      return NameSpace::protocol;
    case NameKind::variant:
      return NameSpace::variant;
    default:
      return NameSpace::none;
  }
}

bool is_shared(NameSpace space) {
  return space == NameSpace::room || space == NameSpace::crew || space == NameSpace::tag ||
         space == NameSpace::rule || space == NameSpace::rules || space == NameSpace::protocol;
}

Family::Family(const Workspace& workspace, const Document& document)
    : documents_(workspace.related_files(document.path())) {
  const bool known = std::any_of(documents_.begin(), documents_.end(),
                                 [&](const auto& one) { return one->path() == document.path(); });
  if (!known) {
    if (SharedDocument own = workspace.document(document.path())) documents_.push_back(own);
  }
}

/// What a protocol rests on in the end, whatever files these are in; the protocol itself when its
/// base cannot be found.
std::string Family::root(const Document& document, std::size_t owner) const {
  if (owner == WrittenName::nobody) return {};
  const WrittenOwner* one = &document.written().owners[owner];
  const Document* in = &document;
  for (int steps = 0; steps < 50 && !one->base.empty(); ++steps) {
    if (one->around != WrittenName::nobody) {
      one = &in->written().owners[one->around];
      continue;
    }
    const WrittenOwner* base = nullptr;
    for (const SharedDocument& other : documents_) {
      for (const WrittenOwner& candidate : other->written().owners) {
        if (candidate.kind != NameKind::protocol || candidate.name != one->base) continue;
        if (base == nullptr || candidate.edition == one->base_edition) {
          base = &candidate;
          in = other.get();
        }
      }
    }
    if (base == nullptr) return one->base;
    one = base;
  }
  return one->name;
}

bool Family::same(const Document& a, std::size_t owner_a, const Document& b,
                  std::size_t owner_b) const {
  const std::string root_a = root(a, owner_a);
  return !root_a.empty() && root_a == root(b, owner_b);
}

std::set<std::string> Family::names(const Document& document, std::size_t owner) const {
  std::set<std::string> out;
  for (const SharedDocument& one : documents_) {
    for (std::size_t i = 0; i < one->written().owners.size(); ++i) {
      const WrittenOwner& other = one->written().owners[i];
      if (other.kind == NameKind::protocol && same(document, owner, *one, i))
        out.insert(other.name);
    }
  }
  return out;
}

bool Family::declares(const Document& document, std::size_t owner, NameSpace space,
                      std::string_view name) const {
  return std::any_of(documents_.begin(), documents_.end(), [&](const SharedDocument& one) {
    const auto& names = one->written().names;
    return std::any_of(names.begin(), names.end(), [&](const WrittenName& other) {
      return other.declares && space_of(other.kind) == space && other.text() == name &&
             same(document, owner, *one, other.owner);
    });
  });
}

NameSpace Family::resolve(const Document& document, const WrittenName& name) const {
  if (name.kind != NameKind::value) return space_of(name.kind);
  for (const NameSpace space : {NameSpace::value, NameSpace::observation, NameSpace::supply}) {
    if (declares(document, name.owner, space, name.text())) return space;
  }
  return NameSpace::none;
}

}  // namespace budwood::editor
