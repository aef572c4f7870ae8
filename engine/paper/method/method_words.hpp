#pragma once

#include <string>

#include "language/model.hpp"

/// How a protocol is read aloud. Formulas stand as they are written.
namespace budwood::paper {

/// "on day 1", "every 3 days from day 4 to the last day, or up to 2 days later".
std::string timing_text(const language::Timing& timing);

/// "350 per hour", "20 min, and 10 min to set up; 2 people"; "" when no labour is named.
std::string labour_text(const language::Protocol& protocol, const language::Work& work);

/// "20 mL for each plant", "1 tray for every tray_cells plants".
std::string use_text(const language::Protocol& protocol, const language::Use& use);

/// "90 %, from 40 % to 100 %": an input's usual value and what is allowed.
std::string input_text(const language::Protocol& protocol, const language::Input& input);

/// A written number in a unit; any other formula as it is written.
std::string value_text(const language::Protocol& protocol, language::FormulaId formula,
                       const units::Unit& unit);

/// A formula as it is written; of an input alone its usual value with the name: "45 per hour
/// (graft_speed)".
std::string written_text(const language::Protocol& protocol, language::FormulaId formula);

}  // namespace budwood::paper
