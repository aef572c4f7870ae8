#pragma once

#include <string>

#include "language/model.hpp"
#include "language/one_line.hpp"

/// Formulas as a grower wrote them.
namespace budwood::language {

/// "batch.plants * 1.05 / take": as written, on one line and without comments.
std::string written_formula(const Protocol& protocol, FormulaId formula);

/// Whether it is a number alone, or a name that stands for one, such as the `cycle` of a repeat.
bool is_written_number(const Protocol& protocol, FormulaId formula);

/// The unit that stands at a written number; nullptr where none does.
const units::Unit* written_unit(const Protocol& protocol, FormulaId formula);

}  // namespace budwood::language
