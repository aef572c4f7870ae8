#pragma once

#include "book/book.hpp"

namespace budwood::book {

/// A text read as the book reads its protocols: with what they are based on, the site's names, the
/// rules that it follows and how plants are moved there. It stands in the place of one of the
/// book's files, or beside them where `instead_of` is null.
language::Document read_as_own(const Book& book, const text::Source& source,
                               const text::Source* instead_of, text::Diagnostics& diagnostics);

}  // namespace budwood::book
