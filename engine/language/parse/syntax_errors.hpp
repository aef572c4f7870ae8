/// Recovery of our own, which knows blocks and statements: an unknown statement is passed over
/// as a whole, a broken head does not cost its body, and names whose declaration could not be
/// read are not reported again where they are used.
#pragma once

#include "language/parse/syntax_messages.hpp"

namespace budwood::language {

/// Finds the next place from which reading can go on after a mistake: the next statement, or the
/// brace that closes the block.
class SyntaxErrors : public antlr4::DefaultErrorStrategy {
 public:
  /// Thrown to leave the parser when a file holds so many mistakes that nobody would read on.
  struct GaveUp {};

  /// `brace_missing`: whether more blocks are opened than closed.
  SyntaxErrors(SyntaxMessages& messages, bool brace_missing)
      : messages_(messages), brace_missing_(brace_missing) {}

  std::size_t count() const { return count_; }

  void reportError(antlr4::Parser* parser, const antlr4::RecognitionException& e) override;
  void recover(antlr4::Parser* parser, std::exception_ptr e) override;
  void sync(antlr4::Parser* parser) override;

 protected:
  void reportUnwantedToken(antlr4::Parser* parser) override;
  void reportMissingToken(antlr4::Parser* parser) override;
  antlr4::Token* singleTokenDeletion(antlr4::Parser* parser) override;
  bool singleTokenInsertion(antlr4::Parser* parser) override;

 private:
  void report(antlr4::Parser& parser, antlr4::Token* token);
  void count_one(antlr4::Token* token);
  bool told_of_line(antlr4::Parser& parser, const antlr4::Token* token);
  void sync_block(antlr4::Parser& parser, const Block& block);
  void sync_work_head(antlr4::Parser& parser);
  bool is_keyword_as_name(antlr4::Parser& parser, const antlr4::Token* token);

  static constexpr std::size_t most = 200;

  SyntaxMessages& messages_;
  bool brace_missing_;
  std::size_t count_ = 0;
  std::size_t last_statement_ = static_cast<std::size_t>(-1);  ///< token index of its keyword
  std::size_t told_line_ = 0;                                  ///< of the last mistake
  std::size_t told_index_ = 0;                                 ///< of its token
  bool passes_keyword_ = false;  ///< the keyword ahead was meant as a name
};

}  // namespace budwood::language
