/// Private to this module.
#pragma once

#include "language/tree/syntax.hpp"

namespace budwood::language {

/// Gives something in a protocol another name, everywhere where it is named. False when there is no
/// such thing in it; then nothing has changed.
bool rename(const syntax::Rename& change, syntax::Protocol& protocol);

}  // namespace budwood::language
