/// Private to this module.
#pragma once

#include "BudwoodLexer.h"
#include "BudwoodParser.h"
#include "language/parse/syntax_messages.hpp"

namespace budwood::language {

/// The tokens of a text, the words that begin a line marked as such: see LINE_WORD in the grammar.
class TokenRun {
 public:
  explicit TokenRun(const text::Source& source);

  antlr4::CommonTokenStream& stream() { return tokens_; }
  /// All of them in order, comments included, the last one the end of the file.
  std::vector<antlr4::Token*> all() { return tokens_.getTokens(); }
  const TokenPlaces& places() const { return places_; }

 private:
  TokenPlaces places_;
  antlr4::ANTLRInputStream input_;
  grammar::BudwoodLexer lexer_;
  antlr4::CommonTokenStream tokens_;
};

/// The parser's tree of a text, which lives as long as this does.
class ParserRun {
 public:
  /// Reports what cannot be read.
  ParserRun(const text::Source& source, text::Diagnostics& diagnostics);
  ~ParserRun();
  ParserRun(const ParserRun&) = delete;
  ParserRun& operator=(const ParserRun&) = delete;

  /// nullptr when reading was given up.
  grammar::BudwoodParser::FileContext* tree() const { return tree_; }
  /// How much was reported of what cannot be read.
  std::size_t mistakes() const { return mistakes_; }
  TokenRun& tokens() { return *tokens_; }

 private:
  std::unique_ptr<TokenRun> tokens_;
  std::unique_ptr<SyntaxMessages> messages_;
  std::unique_ptr<grammar::BudwoodParser> parser_;  ///< owns the tree, and tokens that were missing
  grammar::BudwoodParser::FileContext* tree_ = nullptr;
  std::size_t mistakes_ = 0;
};

}  // namespace budwood::language
