#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "calendar/calendar.hpp"
#include "text/text.hpp"

/// What the browser is told, as JSON. Text of users stays text: it is put into the page as such.
namespace budwood::page {

using Json = nlohmann::ordered_json;

/// "2027-03-01"; null for a value that is no day.
Json day_json(double day);
/// null for a value that is no number.
Json number_json(double value);
/// {"file", "line", "column"}; null without a source. The folder of the file is not told.
Json place_json(const text::Span& span);
/// "error", "warning" or "note".
const char* severity_word(text::Severity severity);
Json diagnostic_json(const text::Diagnostic& diagnostic);
/// A list, as they are sorted.
Json diagnostics_json(const text::Diagnostics& diagnostics);

/// As text, with what is no UTF-8 replaced.
std::string text_of(const Json& json);

}  // namespace budwood::page
