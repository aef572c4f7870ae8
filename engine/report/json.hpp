#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "text/text.hpp"

/// Pieces of JSON (RFC 8259). Keys stay in the order in which they are written.
namespace budwood::report {

using Json = nlohmann::ordered_json;

/// Rounded to 12 significant digits; whole numbers without a fraction; null when not finite.
Json json_number(double value);

/// "2027-02-15"; null for a value that is no day.
Json json_date(double day);

/// "crates.bud:12"; null without a file.
Json json_place(const text::Span& span);

/// On one line. Control characters are escaped, also those that JSON would let pass; bytes that are
/// no UTF-8 are replaced.
std::string dump(const Json& json);

}  // namespace budwood::report
