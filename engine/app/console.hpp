#pragma once

#include <string>

#include "report/formats/table.hpp"
#include "text/text.hpp"

/// What is known of the terminal, and how the program speaks to the person in front of it.
namespace budwood::app {

/// Colours for stderr: only on a terminal that can show them, and never when NO_COLOR is set.
text::Colour error_colour();

/// Layout for stdout: the width and colours of the terminal; elsewhere, and for files, always the
/// same width and none, so that the same input gives the same bytes.
report::Style output_style(bool to_file);

/// Prints "budwood: message" to stderr; the message may hold what a user has typed.
void complain(const std::string& message);

/// Prints the diagnostics to stderr. True when there are errors among them.
bool report_problems(const text::Diagnostics& diagnostics);

}  // namespace budwood::app
