#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace budwood::language {

/// An example of how a statement is written, found by its keyword; "" for other words. Shown when a
/// statement cannot be read.
std::string_view statement_form(std::string_view keyword);

/// Whether the word starts a statement that belongs to the language as planned but is not acted on.
bool is_later_statement(std::string_view word);

}  // namespace budwood::language
