#include "text/terminal.hpp"

#include <algorithm>
#include <array>

#include "text/source.hpp"

namespace budwood::text {

namespace {

struct Character {
  char32_t code = 0;
  std::size_t bytes = 1;
  bool valid = true;
};

/// The character at the front of a text that is not empty; a byte that starts none stands alone.
Character front(std::string_view text) {
  const auto lead = static_cast<unsigned char>(text[0]);
  if (lead < 0x80) return {lead, 1, true};
  const std::size_t bytes = character_length(text);
  if (bytes == 0) return {0, 1, false};
  char32_t code = lead & (0x7FU >> bytes);
  for (std::size_t i = 1; i < bytes; ++i) {
    code = (code << 6U) | (static_cast<unsigned char>(text[i]) & 0x3FU);
  }
  return {code, bytes, true};
}

struct Range {
  char32_t first, last;
};

template <std::size_t n>
bool within(const std::array<Range, n>& ranges, char32_t code) {
  const auto after = std::upper_bound(ranges.begin(), ranges.end(), code,
                                      [](char32_t c, const Range& r) { return c < r.first; });
  return after != ranges.begin() && code <= std::prev(after)->last;
}

/// C0 and C1 controls, line and paragraph separators, and what turns the direction of writing:
/// marks, embeddings, overrides and isolates.
constexpr auto unprintable = std::to_array<Range>({{0x00, 0x1F},
                                                   {0x7F, 0x9F},
                                                   {0x061C, 0x061C},
                                                   {0x200E, 0x200F},
                                                   {0x2028, 0x202E},
                                                   {0x2066, 0x2069}});

/// The common blocks of combining marks, joiners and variation selectors.
constexpr auto without_width = std::to_array<Range>({
    {0x0300, 0x036F},   {0x0483, 0x0489}, {0x0591, 0x05BD}, {0x0610, 0x061A}, {0x064B, 0x065F},
    {0x06D6, 0x06DC},   {0x093C, 0x093C}, {0x0941, 0x0948}, {0x094D, 0x094D}, {0x0E31, 0x0E31},
    {0x0E34, 0x0E3A},   {0x0E47, 0x0E4E}, {0x1AB0, 0x1AFF}, {0x1DC0, 0x1DFF}, {0x200B, 0x200D},
    {0x2060, 0x2064},   {0x20D0, 0x20FF}, {0xFE00, 0xFE0F}, {0xFE20, 0xFE2F}, {0xFEFF, 0xFEFF},
    {0xE0001, 0xE01EF},
});

/// The blocks that are wide as a whole.
constexpr auto wide = std::to_array<Range>({
    {0x1100, 0x115F},
    {0x231A, 0x231B},
    {0x23E9, 0x23EC},
    {0x25FD, 0x25FE},
    {0x2E80, 0x303E},
    {0x3041, 0x33FF},
    {0x3400, 0x4DBF},
    {0x4E00, 0xA4CF},
    {0xA960, 0xA97C},
    {0xAC00, 0xD7A3},
    {0xF900, 0xFAFF},
    {0xFE30, 0xFE6F},
    {0xFF00, 0xFF60},
    {0xFFE0, 0xFFE6},
    {0x1F300, 0x1FAFF},
    {0x20000, 0x3FFFD},
});

std::size_t width_of(char32_t code) {
  if (code < 0x300) return 1;
  if (within(without_width, code)) return 0;
  return within(wide, code) ? 2 : 1;
}

}  // namespace

std::string printable(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const Character c = front(text);
    if (c.code == '\t') {
      out += ' ';
    } else if (!c.valid || within(unprintable, c.code)) {
      out += '?';
    } else {
      out += text.substr(0, c.bytes);
    }
    text.remove_prefix(c.bytes);
  }
  return out;
}

std::size_t display_width(std::string_view text) {
  std::size_t width = 0;
  while (!text.empty()) {
    const Character c = front(text);
    width += width_of(c.code);
    text.remove_prefix(c.bytes);
  }
  return width;
}

std::size_t fitting_bytes(std::string_view text, std::size_t width) {
  std::size_t bytes = 0;
  std::size_t taken = 0;
  while (bytes < text.size()) {
    const Character c = front(text.substr(bytes));
    taken += width_of(c.code);
    if (taken > width && bytes > 0) break;
    bytes += c.bytes;
  }
  return bytes;
}

}  // namespace budwood::text
