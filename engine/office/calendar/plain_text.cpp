#include "office/calendar/plain_text.hpp"

#include <algorithm>

#include "text/text.hpp"

namespace budwood::office {

namespace {

// Limits of the file format (ECMA-376, part 1, as the common programs keep them), in UTF-16 units.
constexpr std::size_t longest_cell = 32767;
constexpr std::size_t longest_sheet_name = 31;
// A header has 255 for all of its parts.
constexpr std::size_t longest_header = 60;

constexpr std::string_view ellipsis = "…";

/// How many UTF-16 units a character of so many bytes takes.
std::size_t units_of(std::size_t bytes) {
  constexpr std::size_t beyond_first_plane = 4;
  return bytes == beyond_first_plane ? 2 : 1;
}

/// The whole text, or its front with an ellipsis.
std::string cut(const std::string& text, std::size_t longest) {
  std::size_t units = 0;
  std::size_t keep = 0;  // bytes that leave room for the ellipsis
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t bytes =
        std::max<std::size_t>(1, text::character_length(std::string_view(text).substr(at)));
    units += units_of(bytes);
    at += bytes;
    if (units < longest) keep = at;
    if (units > longest) return text.substr(0, keep) + std::string(ellipsis);
  }
  return text;
}

bool is_hex(char c) {
  return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'F') || (c >= 'a' && c <= 'f');
}

/// Readers take "_x0041_" for the character of that number (ST_Xstring); an underscore that is
/// written so itself stands for nothing but an underscore.
std::string without_codes(const std::string& text) {
  constexpr std::size_t length = 7;
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool is_code = text.size() - i >= length && text[i] == '_' && text[i + 1] == 'x' &&
                         text[i + length - 1] == '_' &&
                         std::all_of(text.begin() + static_cast<std::ptrdiff_t>(i) + 2,
                                     text.begin() + static_cast<std::ptrdiff_t>(i) + 6, is_hex);
    if (is_code) out += "_x005F";
    out += text[i];
  }
  return out;
}

void replace_all(std::string& text, std::string_view what, std::string_view by) {
  for (std::size_t at = text.find(what); at != std::string::npos;
       at = text.find(what, at + by.size())) {
    text.replace(at, what.size(), by);
  }
}

}  // namespace

std::string printable_lines(std::string_view text) {
  std::string out;
  for (std::size_t begin = 0; begin <= text.size();) {
    std::size_t end = std::min(text.find('\n', begin), text.size());
    const std::size_t next = end + 1;
    if (end > begin && end < text.size() && text[end - 1] == '\r') --end;
    if (begin > 0) out += '\n';
    out += text::printable(text.substr(begin, end - begin));
    begin = next;
  }
  return out;
}

std::string cell_text(std::string_view text) {
  return cut(without_codes(printable_lines(text)), longest_cell);
}

std::string header_text(std::string_view text) {
  std::string out = cut(text::printable(text), longest_header);
  replace_all(out, "&", "&&");
  return out;
}

std::string sheet_name(std::string_view text) {
  std::string out = text::printable(text);
  for (char& c : out) {
    if (std::string_view("[]:*?/\\'").find(c) != std::string_view::npos) c = '_';
  }
  return cut(out, longest_sheet_name);
}

}  // namespace budwood::office
