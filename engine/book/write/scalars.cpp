#include "book/write/scalars.hpp"

#include <cctype>
#include <set>
#include <string_view>

namespace budwood::book {

std::string as_quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c == '\n' ? std::string("\\n") : std::string(1, c);
  }
  return out + '"';
}

std::string as_scalar(const std::string& text) {
  constexpr std::string_view harmless =
      "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 %./_+-";
  static const std::set<std::string> nothing = {"null", "Null", "NULL"};
  const bool plain = !text.empty() && std::isalnum(static_cast<unsigned char>(text.front())) != 0 &&
                     text.back() != ' ' && text.find_first_not_of(harmless) == std::string::npos &&
                     !nothing.contains(text);
  return plain ? text : as_quoted(text);
}

}  // namespace budwood::book
