#include "language/check/titles.hpp"

#include <algorithm>
#include <cctype>

namespace budwood::language {

std::string title_of(const std::optional<syntax::Text>& title, const syntax::Name& name) {
  if (title) return title->value;
  std::string out = name.text;
  std::replace(out.begin(), out.end(), '_', ' ');
  return out;
}

namespace {

/// A letter of a name; bytes above 127 are parts of letters with accents.
bool in_name(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte >= 0x80 || std::isalnum(byte) != 0 || c == '_';
}

}  // namespace

bool replace_word(std::string& text, const std::string& name, const std::string& other) {
  bool replaced = false;
  for (std::size_t at = text.find(name); at != std::string::npos; at = text.find(name, at)) {
    const std::size_t end = at + name.size();
    const bool whole =
        (at == 0 || !in_name(text[at - 1])) && (end == text.size() || !in_name(text[end]));
    if (whole) text.replace(at, name.size(), other);
    at += whole ? other.size() : name.size();
    replaced = replaced || whole;
  }
  return replaced;
}

}  // namespace budwood::language
