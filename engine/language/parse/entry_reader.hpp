/// Entries of the record are lines of the same language. Their words are no words of protocols: the
/// reader gives them their meaning where an entry is read, and takes that of all other words, so
/// that a supply may be called `used` and an observation `counted`.
#pragma once

#include <vector>

#include "language/tree/entry_syntax.hpp"

namespace budwood::language {

/// Reads entries, one a line; empty lines and comments are passed over. A line with a mistake is
/// reported and left out.
std::vector<syntax::EntryLine> read_entries(const text::Source& source,
                                            text::Diagnostics& diagnostics);

}  // namespace budwood::language
