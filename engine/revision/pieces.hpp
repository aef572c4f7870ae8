/// Private to this module.
#pragma once

#include "language/rewrite/protocol_text.hpp"
#include "revision/revise.hpp"

namespace budwood::revision {

/// Writes what was learned into the text. With `method`, what was learned of that variant comes
/// first, and variants are not written to.
void put_numbers(const std::vector<results::Learned>& learned, const Wish& wish,
                 const std::string& method, language::ProtocolText& text, Revision& out);

/// Puts the lessons of batches of this edition into the text, each once.
void put_lessons(const book::Book& book, const Wish& wish, std::string_view written,
                 language::ProtocolText& text, Revision& out);

}  // namespace budwood::revision
