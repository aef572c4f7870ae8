/// What the record says of the batches of a book. Private to this module.
#pragma once

#include "book/book.hpp"

namespace budwood::book {

/// Reads the record of a book and makes facts of it: days on which stages began or ended, plants
/// counted, orders done. What the record says goes before what batches.yaml says; where they
/// differ, both are told. The lines of the entries become a source of their own, so that facts have
/// a place.
void read_record(Book& book, text::Sources& sources, text::Diagnostics& diagnostics);

}  // namespace budwood::book
