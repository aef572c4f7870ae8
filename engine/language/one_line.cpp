#include "language/one_line.hpp"

namespace budwood::language {

std::string on_one_line(std::string_view text) {
  std::string out;
  bool comment = false;
  for (const char c : text) {
    if (c == '\n') comment = false;
    if (c == '#') comment = true;
    if (comment) continue;
    if (c == ' ' || c == '\t' || c == '\r' || c == '\n') {
      if (!out.empty() && out.back() != ' ') out += ' ';
    } else {
      out += c;
    }
  }
  while (out.ends_with(' ')) out.pop_back();
  return out;
}

}  // namespace budwood::language
