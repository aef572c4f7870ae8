/// Private to this module.
#pragma once

#include "language/tree/syntax.hpp"
#include "text/text.hpp"

namespace budwood::language {

/// The protocol that comes of a base with the changes of another that is based on it: its name,
/// edition and layers, every statement with the place where it is written. Changes are made in the
/// order in which they are written; a declaration takes the place of the base's of the same name.
/// What does not fit the base is reported.
syntax::Protocol adapt(const syntax::Protocol& base, const syntax::Protocol& changed,
                       text::Diagnostics& diagnostics);

/// Reports statements that change something in a protocol that is based on no other.
void report_baseless(const syntax::Protocol& protocol, text::Diagnostics& diagnostics);

}  // namespace budwood::language
