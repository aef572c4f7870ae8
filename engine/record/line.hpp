#pragma once

#include <string>

#include "record/entry.hpp"

namespace budwood::record {

/// The line that says what an entry says. Reading it gives the same again, but for id, moment and
/// turn.
std::string line_of(const Entry& entry);

/// The same without the day and the person: for tables that have columns for them.
std::string told(const Entry& entry);

/// A number with all its digits, without an exponent.
std::string number_text(double value);

/// "61 of 80", "70 %", "291 plants"; "" without a number.
std::string amount_text(const Entry& entry);
/// "6 h 10 min"; "" when no time was noted.
std::string time_text(const Entry& entry);
/// "30 m tape and 2 L mix".
std::string used_text(const Entry& entry);

}  // namespace budwood::record
