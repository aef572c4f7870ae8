#pragma once

#include <string>
#include <string_view>

#include "language/model.hpp"

/// Formulas as a grower wrote them.
namespace budwood::language {

/// What of a source stands for a formula, with the brackets that belong to it.
text::Span whole_formula(const Protocol& protocol, FormulaId formula);

/// Text on one line, comments left out.
std::string on_one_line(std::string_view text);

/// "batch.plants * 1.05 / take": as written, on one line and without comments.
std::string written_formula(const Protocol& protocol, FormulaId formula);

}  // namespace budwood::language
