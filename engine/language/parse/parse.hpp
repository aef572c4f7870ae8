#pragma once

#include "language/tree/syntax.hpp"

namespace budwood::language {

/// Reads protocol text. Mistakes are reported, all that can be told apart in one run; what could be
/// read is returned all the same, so that later checks can report more.
syntax::File parse(const text::Source& source, text::Diagnostics& diagnostics);

}  // namespace budwood::language
