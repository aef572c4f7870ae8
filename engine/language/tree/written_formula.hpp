#pragma once

#include <string>

#include "language/model.hpp"
#include "language/one_line.hpp"

/// Formulas as a grower wrote them.
namespace budwood::language {

/// What of a source stands for a formula, with the brackets that belong to it.
text::Span whole_formula(const Protocol& protocol, FormulaId formula);

/// "batch.plants * 1.05 / take": as written, on one line and without comments.
std::string written_formula(const Protocol& protocol, FormulaId formula);

}  // namespace budwood::language
