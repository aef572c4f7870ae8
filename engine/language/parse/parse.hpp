/// The grammar decides by the next one to three tokens, so the parser runs in ANTLR's fast
/// (SLL) mode alone. A quotient of units is one token with its number when no space stands
/// around the slash, so that `120 umol/m2/s` is a quantity and `plants / 60` a division.
/// Nesting is bounded before it recurses: brackets, prefix operators and chains are counted on
/// the token stream.
#pragma once

#include "language/tree/syntax.hpp"

namespace budwood::language {

/// Reads protocol text. Mistakes are reported, all that can be told apart in one run; what could be
/// read is returned all the same, so that later checks can report more.
syntax::File parse(const text::Source& source, text::Diagnostics& diagnostics);

}  // namespace budwood::language
