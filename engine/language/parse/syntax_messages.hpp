#pragma once

#include "BudwoodParser.h"
#include "language/parse/blocks.hpp"
#include "language/parse/token_places.hpp"

namespace budwood::language {

/// Says in the grower's words what cannot be read and what would be right.
class SyntaxMessages {
 public:
  SyntaxMessages(const TokenPlaces& places, text::Diagnostics& diagnostics)
      : places_(places), diagnostics_(diagnostics) {}

  /// A token inside a statement.
  void does_not_fit(antlr4::Parser& parser, const antlr4::Token* token);
  /// A token where a statement of the block should start.
  void no_statement(antlr4::Parser& parser, const antlr4::Token* token, const Block& block);
  /// A word after the end of a statement, on the same line.
  void left_over(antlr4::Parser& parser, const antlr4::Token* token);
  /// A word of the language where a name is wanted.
  void keyword_as_name(const antlr4::Token* token);
  /// The token shows that the block in which the parser is was never closed.
  void open_block(antlr4::Parser& parser, const antlr4::Token* token);
  /// Reading stopped because there is too much to report.
  void gave_up(const antlr4::Token* token, std::size_t mistakes);
  /// Text without its closing quote, and characters without a meaning: false for all else.
  bool unreadable(antlr4::Parser& parser, const antlr4::Token* token);

 private:
  bool unsupported(const antlr4::Token* token);
  bool unfinished(antlr4::Parser& parser, const antlr4::Token* token,
                  const std::vector<std::size_t>& expected);

  const TokenPlaces& places_;
  text::Diagnostics& diagnostics_;
};

/// The token types that could come next.
std::vector<std::size_t> expected_types(antlr4::Parser& parser);

/// Whether a token is a word that is no word of the language.
bool is_word(const antlr4::Token* token);

}  // namespace budwood::language
