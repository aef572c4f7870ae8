/// Private to this module.
#pragma once

#include <string>
#include <vector>

#include "language/tree/syntax.hpp"

namespace budwood::language {

/// A stage of a protocol by its name, in a `repeat` block or outside; nullptr when there is none.
syntax::Stage* find_stage(syntax::Protocol& protocol, const std::string& name);

/// How many cycles the `repeat` block of a stage has; 0 when it stands in none.
int cycles_of(const syntax::Protocol& protocol, const std::string& stage);

/// The names of all stages, as written.
std::vector<std::string> stage_names(const syntax::Protocol& protocol);

/// Puts a stage behind (or in front of) the one of that name; false when there is none.
bool insert_stage(syntax::Protocol& protocol, const syntax::Addition& addition);

/// Takes a stage out, and a `repeat` block that is left empty; false when there is none.
bool remove_stage(syntax::Protocol& protocol, const std::string& name);

}  // namespace budwood::language
