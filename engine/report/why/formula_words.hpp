#pragma once

#include <string>

#include "language/model.hpp"

/// Formulas of a protocol with their values put in.
namespace budwood::report {

struct Asked;

/// "480 * 1.05 / 70 %": with each name replaced by its value for the batch. Written numbers and
/// look-ups in tables stay.
std::string valued_formula(const Asked& asked, language::FormulaId formula);

}  // namespace budwood::report
