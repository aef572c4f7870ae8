#include "text/terminal.hpp"

#include <utf8proc.h>

#include <algorithm>

#include "text/source.hpp"

namespace budwood::text {

namespace {

using Code = utf8proc_int32_t;

struct Character {
  Code code = 0;
  std::size_t bytes = 1;
  bool valid = true;
};

/// The character at the front of a text that is not empty; a byte that starts none stands alone.
Character front(std::string_view text) {
  Character out;
  const auto* bytes = reinterpret_cast<const utf8proc_uint8_t*>(text.data());
  const utf8proc_ssize_t length =
      utf8proc_iterate(bytes, static_cast<utf8proc_ssize_t>(text.size()), &out.code);
  if (length <= 0) return {0, 1, false};
  out.bytes = static_cast<std::size_t>(length);
  return out;
}

constexpr Code zero_width_non_joiner = 0x200C;
constexpr Code zero_width_joiner = 0x200D;

/// Chooses between two pictures of the character before: one mark is common behind emoji.
bool is_variation_selector(Code code) {
  return code >= 0xFE00 && code <= 0xFE0F;
}

/// Those two of each plane, and 32 in the first, will never be characters; XML may not hold two of
/// them.
bool is_no_character(Code code) {
  constexpr Code last_of_plane = 0xFFFE;
  return (code & last_of_plane) == last_of_plane || (code >= 0xFDD0 && code <= 0xFDEF);
}

/// Whether a mark that is not seen itself belongs behind a character: in scripts that join their
/// letters, and in emoji. Behind a Latin letter it only makes one name look like another.
bool may_follow(Code mark, Code before) {
  constexpr Code first_joining = 0x0600;  // Arabic; Latin, Greek, Cyrillic and Hebrew lie below
  if (is_variation_selector(mark)) {
    const bool keycap = (before >= '0' && before <= '9') || before == '#' || before == '*';
    return keycap || (before >= 0xA9 && !is_variation_selector(before));
  }
  return (mark == zero_width_joiner || mark == zero_width_non_joiner) && before >= first_joining &&
         before != zero_width_joiner && before != zero_width_non_joiner;
}

/// Controls, what separates lines, what turns the direction of writing, and what nobody can see.
bool is_deceptive(Code code, Code before) {
  const utf8proc_property_t& facts = *utf8proc_get_property(code);
  switch (facts.category) {
    case UTF8PROC_CATEGORY_CC:
    case UTF8PROC_CATEGORY_ZL:
    case UTF8PROC_CATEGORY_ZP:
      return true;
    case UTF8PROC_CATEGORY_CF:
      // Signs that stand before Arabic numbers are seen.
      return facts.boundclass != UTF8PROC_BOUNDCLASS_PREPEND && !may_follow(code, before);
    default:
      // Marks of the Mongolian script, fillers, tags, further variation selectors.
      return is_no_character(code) || (facts.ignorable != 0 && !may_follow(code, before));
  }
}

std::size_t width_of(const Character& c) {
  if (!c.valid || c.code == 0) return 1;
  const int width = utf8proc_charwidth(c.code);
  return width > 0 ? static_cast<std::size_t>(width) : 0;
}

}  // namespace

std::size_t plain_bytes(std::string_view text) {
  const auto other =
      std::find_if(text.begin(), text.end(), [](char c) { return c < ' ' || c > '~'; });
  return static_cast<std::size_t>(other - text.begin());
}

std::string printable(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  Code before = 0;
  while (!text.empty()) {
    if (const std::size_t plain = plain_bytes(text); plain > 0) {
      out += text.substr(0, plain);
      before = text[plain - 1];
      text.remove_prefix(plain);
      continue;
    }
    const Character c = front(text);
    const bool tab = c.valid && c.code == '\t';
    const bool hidden = !tab && (!c.valid || is_deceptive(c.code, before));
    if (tab || hidden) {
      out += tab ? ' ' : '?';
    } else {
      out += text.substr(0, c.bytes);
    }
    // What stands before the next one is what is seen.
    before = tab ? ' ' : hidden ? '?' : c.code;
    text.remove_prefix(c.bytes);
  }
  return out;
}

std::size_t display_width(std::string_view text) {
  std::size_t width = 0;
  while (!text.empty()) {
    if (const std::size_t plain = plain_bytes(text); plain > 0) {
      width += plain;
      text.remove_prefix(plain);
      continue;
    }
    const Character c = front(text);
    width += width_of(c);
    text.remove_prefix(c.bytes);
  }
  return width;
}

std::size_t fitting_bytes(std::string_view text, std::size_t width) {
  std::size_t bytes = plain_bytes(text.substr(0, width));
  std::size_t taken = bytes;
  while (bytes < text.size()) {
    const Character c = front(text.substr(bytes));
    taken += width_of(c);
    if (taken > width && bytes > 0) break;
    bytes += c.bytes;
  }
  return bytes;
}

}  // namespace budwood::text
