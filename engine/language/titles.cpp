#include "language/titles.hpp"

#include <algorithm>
#include <cctype>

namespace budwood::language {

std::string title_of(const std::optional<syntax::Text>& title, const syntax::Name& name) {
  if (title) return title->value;
  std::string out = name.text;
  std::replace(out.begin(), out.end(), '_', ' ');
  return out;
}

std::string on_one_line(std::string_view written) {
  std::string out;
  bool comment = false;
  for (const char c : written) {
    if (c == '#') comment = true;
    if (c == '\n') comment = false;
    if (comment) continue;
    if (std::isspace(static_cast<unsigned char>(c)) == 0) {
      out += c;
    } else if (!out.empty() && out.back() != ' ') {
      out += ' ';
    }
  }
  return out;
}

}  // namespace budwood::language
