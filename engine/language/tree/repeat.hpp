/// Repeats are written out before the check, so nothing behind it knows of them.
#pragma once

#include "language/tree/syntax.hpp"

namespace budwood::language {

/// Writes out `repeat N times`: each of its stages once for every cycle, named STAGE_1 to STAGE_N.
/// Inside the block, its stages go by their plain names and mean those of the same cycle, and
/// `cycle` is the number of the cycle; from outside they are called by their full names.
syntax::Protocol expand_repeats(const syntax::Protocol& written);

}  // namespace budwood::language
