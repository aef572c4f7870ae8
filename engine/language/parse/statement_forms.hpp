#pragma once

#include <string_view>

namespace budwood::language {

/// An example of how a statement is written, found by its first word and the blocks (StandsIn) in
/// which it stands; "" for other words. Shown when a statement cannot be read.
std::string_view statement_form(std::string_view keyword, unsigned blocks);

/// Whether the word starts a statement, or a piece of one, that this release does not act on.
bool is_later_word(std::string_view word);

}  // namespace budwood::language
