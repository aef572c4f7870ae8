#pragma once

#include "report/why/why_words.hpp"

namespace budwood::report {

/// Tells how a value that is no planned date comes about: its formula with the values put in, then
/// what it rests on, down to inputs.
void tell_value(Paragraphs& out, const Asked& asked, sheet::CellId cell, bool all);

/// Tells where a missing value comes from and how it came to the cell; of dates, why there are
/// none.
void tell_missing(Paragraphs& out, const Asked& asked, sheet::CellId cell);

}  // namespace budwood::report
