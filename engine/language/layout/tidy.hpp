/// The standard layout of protocols and rule sets.
///
/// White space is chosen anew from the parser's tree; words, their order, line breaks inside of a
/// statement and comments stay, so that the text means to the last detail what it meant (its
/// fingerprints do not change) and laying it out twice changes nothing:
///  - every block is two spaces deeper than what is around it, a line that goes on four spaces;
///  - one statement a line, but a block that was written on one line stays on it;
///  - inputs, supplies, parts, values and what is observed stand in columns where they follow each
///    other line by line; so do comments behind statements;
///  - never two empty lines, none at the edge of a block, one around a stage, a rule or a variant
///    of several lines.
///
///   tidy(source) of `part  p "P" # what grows`   is   `part p "P"  # what grows`
#pragma once

#include <optional>
#include <string>

#include "text/text.hpp"

namespace budwood::language {

/// The text in its standard layout, with line ends of one character. Nothing where it cannot be
/// read, which is reported; mistakes of meaning do not matter.
std::optional<std::string> tidy(const text::Source& source, text::Diagnostics& diagnostics);

}  // namespace budwood::language
