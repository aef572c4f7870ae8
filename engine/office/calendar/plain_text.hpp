/// Text of users as it may stand in a file. Private to this module.
#pragma once

#include <string>
#include <string_view>

namespace budwood::office {

/// Each line as `text::printable` gives it; line breaks are kept.
std::string printable_lines(std::string_view text);

/// Text for a cell of a spreadsheet: printable lines, at most as long as a cell holds, without the
/// two characters that XML forbids. What is cut off ends in an ellipsis.
std::string cell_text(std::string_view text);

/// Text for a header or footer, short and without codes.
std::string header_text(std::string_view text);

/// A name for a sheet: at most 31 characters, without those that are not allowed.
std::string sheet_name(std::string_view text);

}  // namespace budwood::office
