#pragma once

#include "report/why_words.hpp"

/// Formulas of a protocol, as they are written and with their values put in.
namespace budwood::report {

/// "batch.plants * 1.05 / take": as written, on one line and without comments.
std::string written_formula(const language::Protocol& protocol, language::FormulaId formula);

/// "480 * 1.05 / 70 %": with each name replaced by its value for the batch. Written numbers and
/// look-ups in tables stay.
std::string valued_formula(const Asked& asked, language::FormulaId formula);

/// Whether it is a written number alone.
bool is_constant(const language::Protocol& protocol, language::FormulaId formula);

}  // namespace budwood::report
