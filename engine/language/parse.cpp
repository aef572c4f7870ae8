#include "language/parse.hpp"

#include "BudwoodLexer.h"
#include "BudwoodParser.h"
#include "language/syntax_errors.hpp"
#include "language/tree_builder.hpp"

namespace budwood::language {

namespace {

using grammar::BudwoodLexer;
using grammar::BudwoodParser;

/// Reading is recursive, so nesting is bounded before it starts. No formula of the trade comes
/// near.
struct Limits {
  int brackets = 50;          ///< brackets and braces inside each other
  int nested_operators = 50;  ///< minus, not, powers and ifs inside one statement
  int operators = 1000;       ///< operators in one statement
};

bool opens(std::size_t type) {
  return type == BudwoodParser::LPAREN || type == BudwoodParser::LBRACE;
}

bool shuts(std::size_t type) {
  return type == BudwoodParser::RPAREN || type == BudwoodParser::RBRACE;
}

bool is_operator(const antlr4::Token* token) {
  const std::size_t type = token->getType();
  if (type == BudwoodParser::AND || type == BudwoodParser::OR) return true;
  static const std::string symbols = "+-*/^<>";
  const std::string text = token->getText();
  return text.size() == 1 && symbols.find(text[0]) != std::string::npos;
}

/// Counts what makes reading recurse and reports the first place at which it is too much.
bool within_limits(const std::vector<antlr4::Token*>& tokens, const TokenPlaces& places,
                   text::Diagnostics& diagnostics) {
  const Limits limits;
  int depth = 0;
  int operators = 0;
  int nested = 0;
  bool in_table = false;
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    const antlr4::Token* token = tokens[i];
    const std::size_t type = token->getType();
    if (opens(type)) ++depth;
    if (shuts(type) && depth > 0) --depth;
    if (starts_statement(type)) {
      operators = nested = 0;
      in_table = type == BudwoodParser::TABLE;
    }
    if (in_table) continue;
    const std::string text = token->getText();
    const bool prefix = text == "-" && i > 0 && is_operator(tokens[i - 1]);
    if (prefix || text == "^" || type == BudwoodParser::NOT || type == BudwoodParser::IF) ++nested;
    if (is_operator(token)) ++operators;
    if (depth > limits.brackets || nested > limits.nested_operators ||
        operators > limits.operators) {
      diagnostics.error("too-nested", places.span(token),
                        "This is nested or strung together beyond what Budwood reads.",
                        "Split it up with `let`.");
      return false;
    }
  }
  return true;
}

}  // namespace

syntax::File parse(const text::Source& source, text::Diagnostics& diagnostics) {
  const TokenPlaces places(source);
  antlr4::ANTLRInputStream input{std::string(source.text())};
  BudwoodLexer lexer(&input);
  lexer.removeErrorListeners();
  antlr4::CommonTokenStream tokens(&lexer);
  tokens.fill();
  std::vector<antlr4::Token*> all = tokens.getTokens();
  if (!within_limits(all, places, diagnostics)) return {};

  BudwoodParser parser(&tokens);
  parser.removeErrorListeners();
  parser.setErrorHandler(std::make_shared<SyntaxErrors>(places, diagnostics));
  // The grammar is decided by a few tokens alone, so the fast mode reads it fully.
  parser.getInterpreter<antlr4::atn::ParserATNSimulator>()->setPredictionMode(
      antlr4::atn::PredictionMode::SLL);
  BudwoodParser::FileContext* tree = parser.file();
  syntax::File file = TreeBuilder(places, diagnostics).file(tree);
  if (tree->protocol().empty() && !diagnostics.has_errors()) {
    diagnostics.error("empty-file", {&source, 0, 0}, "There is no protocol in this file.",
                      "A file starts like: protocol my_cuttings \"My cuttings\" { ... }");
  }
  return file;
}

}  // namespace budwood::language
