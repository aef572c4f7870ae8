#pragma once

#include "report/why/why_words.hpp"

namespace budwood::report {

/// Tells why a planned date is where it is, as one would to a colleague: the answer in a sentence,
/// then what holds the date, step by step to a date that the batch sets. There are reasons.
void tell_date(Paragraphs& out, const Asked& asked, const std::vector<sheet::DateReason>& reasons,
               bool all);

/// Tells how the ends of a stage that nature allows, or its float, come about.
void tell_range(Paragraphs& out, const Asked& asked, sheet::CellId cell);

}  // namespace budwood::report
