#include "language/rewrite/block_text.hpp"

namespace budwood::language {

namespace {

bool is_word(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_';
}
bool is_space(char c) {
  return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

}  // namespace

std::uint32_t behind_quiet(std::string_view text, std::uint32_t at) {
  if (at >= text.size()) return at;
  if (text[at] == '#') {
    const std::size_t end = text.find('\n', at);
    return static_cast<std::uint32_t>(end == std::string_view::npos ? text.size() : end);
  }
  if (text[at] != '"') return at;
  std::uint32_t end = at + 1;
  while (end < text.size() && text[end] != '"') end += text[end] == '\\' ? 2 : 1;
  return static_cast<std::uint32_t>(std::min<std::size_t>(end + 1, text.size()));
}

std::uint32_t closing_brace(std::string_view text, std::uint32_t at) {
  int depth = 0;
  while (at < text.size()) {
    if (const std::uint32_t behind = behind_quiet(text, at); behind != at) {
      at = behind;
      continue;
    }
    if (text[at] == '{') ++depth;
    if (text[at] == '}' && --depth == 0) return at;
    ++at;
  }
  return at;
}

std::uint32_t end_of_said(std::string_view text, std::uint32_t begin, std::uint32_t end) {
  std::uint32_t said = begin;
  for (std::uint32_t at = begin; at < end;) {
    const std::uint32_t behind = behind_quiet(text, at);
    const bool comment = text[at] == '#';
    if (behind != at) {
      if (!comment) said = behind;
      at = behind;
      continue;
    }
    if (!is_space(text[at])) said = at + 1;
    ++at;
  }
  return said;
}

std::uint32_t start_of_statement(std::string_view text, std::string_view word,
                                 std::uint32_t inside) {
  for (std::size_t at = text.rfind(word, inside); at != std::string_view::npos;
       at = at == 0 ? std::string_view::npos : text.rfind(word, at - 1)) {
    const bool begins = at == 0 || !is_word(text[at - 1]);
    const std::size_t behind = at + word.size();
    const bool ends = behind >= text.size() || !is_word(text[behind]);
    if (begins && ends) return static_cast<std::uint32_t>(at);
  }
  return inside;
}

}  // namespace budwood::language
