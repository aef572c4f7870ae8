/// Private to this module.
#pragma once

#include <cstddef>

#include "language/editing/name_kind.hpp"

namespace budwood::language {

struct NameRole {
  NameKind kind = NameKind::other;
  bool declares = false;
};

/// What a name stands for by the rule of the grammar in which it stands and the type of the token
/// before it.
NameRole role_of_name(std::size_t rule, std::size_t token_before);
/// The same for a NAME that stands in the rule itself: a hazard, a member, a unit.
NameRole role_of_bare_name(std::size_t rule, std::size_t token_before);

}  // namespace budwood::language
