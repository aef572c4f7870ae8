#include "language/parse/token_places.hpp"

namespace budwood::language {

TokenPlaces::TokenPlaces(const text::Source& source) : source_(source) {
  const std::string_view text = source.text();
  if (text::count_characters(text) == text.size()) return;
  // The lexer drops a byte-order mark without counting it.
  const std::size_t first = text.starts_with("\xEF\xBB\xBF") ? 3 : 0;
  for (std::size_t i = first; i < text.size(); ++i) {
    if ((static_cast<unsigned char>(text[i]) & 0xC0U) != 0x80U) {
      bytes_.push_back(static_cast<std::uint32_t>(i));
    }
  }
}

std::uint32_t TokenPlaces::byte_of(std::size_t character) const {
  const std::size_t size = source_.text().size();
  if (bytes_.empty()) return static_cast<std::uint32_t>(std::min(character, size));
  return character < bytes_.size() ? bytes_[character] : static_cast<std::uint32_t>(size);
}

text::Span TokenPlaces::span(const antlr4::Token* token) const {
  return span(token, token);
}

text::Span TokenPlaces::span(const antlr4::ParserRuleContext* rule) const {
  const antlr4::Token* first = rule->start;
  const antlr4::Token* last = rule->stop;
  if (last == nullptr || last->getTokenIndex() < first->getTokenIndex()) last = first;
  return span(first, last);
}

text::Span TokenPlaces::span(const antlr4::Token* first, const antlr4::Token* last) const {
  const auto end_of_text = static_cast<std::uint32_t>(source_.text().size());
  if (first->getType() == antlr4::Token::EOF) return {&source_, end_of_text, end_of_text};
  const std::uint32_t begin = byte_of(first->getStartIndex());
  const std::uint32_t end =
      last->getType() == antlr4::Token::EOF ? end_of_text : byte_of(last->getStopIndex() + 1);
  return {&source_, begin, std::max(begin, end)};
}

}  // namespace budwood::language
