/// Private to this module.
///
/// What names something is visited here alone; repeats and renaming rest on it.
#pragma once

#include <functional>

#include "language/tree/syntax.hpp"

namespace budwood::language {

/// What is called for all that a statement refers to. Each may be left out.
struct References {
  std::function<void(syntax::Name&, Refers)> name;
  std::function<void(syntax::Formula&)> formula;  ///< for each node, before what is below it
  /// A condition as it was written.
  std::function<void(syntax::Written&, Refers)> written;
};

/// Goes through everything in a stage that refers to something, its own name not included.
void visit(syntax::Stage& stage, const References& references);
/// The same for a whole protocol: names where they are declared are not included.
void visit(syntax::Protocol& protocol, const References& references);

}  // namespace budwood::language
