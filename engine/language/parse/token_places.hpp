#pragma once

#include <cstdint>
#include <vector>

#include "antlr4-runtime.h"
#include "text/text.hpp"

namespace budwood::language {

/// Turns the parser's places, which count characters, into spans, which count bytes.
class TokenPlaces {
 public:
  explicit TokenPlaces(const text::Source& source);

  text::Span span(const antlr4::Token* token) const;
  /// From the first to the last token of a rule; a rule that matched nothing is its first token.
  text::Span span(const antlr4::ParserRuleContext* rule) const;
  text::Span span(const antlr4::Token* first, const antlr4::Token* last) const;
  const text::Source& source() const { return source_; }

 private:
  std::uint32_t byte_of(std::size_t character) const;

  const text::Source& source_;
  std::vector<std::uint32_t> bytes_;  ///< by character; empty when every character is one byte
};

}  // namespace budwood::language
