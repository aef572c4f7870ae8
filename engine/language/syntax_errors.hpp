#pragma once

#include "BudwoodParser.h"
#include "language/token_places.hpp"

namespace budwood::language {

/// Says what cannot be read in the grower's words and finds the next place from which reading can
/// go on: the next statement, or the brace that closes the block.
class SyntaxErrors : public antlr4::DefaultErrorStrategy {
 public:
  SyntaxErrors(const TokenPlaces& places, text::Diagnostics& diagnostics)
      : places_(places), diagnostics_(diagnostics) {}

  void reportError(antlr4::Parser* parser, const antlr4::RecognitionException& e) override;
  void recover(antlr4::Parser* parser, std::exception_ptr e) override;
  void sync(antlr4::Parser* parser) override;

 protected:
  void reportUnwantedToken(antlr4::Parser* parser) override;
  void reportMissingToken(antlr4::Parser* parser) override;
  antlr4::Token* singleTokenDeletion(antlr4::Parser* parser) override;

 private:
  void report(antlr4::Parser* parser, antlr4::Token* token);
  void report_unknown_statement(antlr4::Parser* parser, antlr4::Token* token);
  void report_open_block(antlr4::Parser* parser, antlr4::Token* token);
  bool report_token_itself(antlr4::Parser* parser, antlr4::Token* token);

  const TokenPlaces& places_;
  text::Diagnostics& diagnostics_;
  bool passes_keyword_ = false;
};

/// Whether a token type is a word of the language, which no name can be.
bool is_keyword(std::size_t token_type);

/// Whether a token type starts a statement.
bool starts_statement(std::size_t token_type);

}  // namespace budwood::language
