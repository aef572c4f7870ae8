#include "language/syntax_errors.hpp"

#include <algorithm>

#include "language/statement_forms.hpp"

namespace budwood::language {

namespace {

using antlr4::Parser;
using antlr4::ParserRuleContext;
using antlr4::Token;
using grammar::BudwoodParser;

constexpr std::size_t name_token = BudwoodParser::NAME;

std::string keyword_text(const Parser& parser, std::size_t type) {
  std::string name = parser.getVocabulary().getLiteralName(type);
  return name.size() > 2 ? name.substr(1, name.size() - 2) : std::string{};
}

/// How the token reads in a sentence.
std::string quoted(const Token* token) {
  if (token->getType() == Token::EOF) return "the end of the file";
  constexpr std::size_t longest = 40;
  std::string text = token->getText();
  if (text.size() > longest) {
    std::size_t cut = longest;
    while (cut > 0 && (static_cast<unsigned char>(text[cut]) & 0xC0U) == 0x80U) --cut;
    text = text.substr(0, cut) + "...";
  }
  return "`" + text + "`";
}

std::string expected_word(const Parser& parser, std::size_t type) {
  switch (type) {
    case BudwoodParser::NAME:
      return "a name";
    case BudwoodParser::NUMBER:
    case BudwoodParser::COMPOUND:
      return "a number";
    case BudwoodParser::STRING:
      return "text in double quotes";
    case BudwoodParser::DATE:
      return "a date";
    case BudwoodParser::TIME:
      return "a time such as 07:30";
    case Token::EOF:
      return "the end of the file";
    default:
      return "`" + keyword_text(parser, type) + "`";
  }
}

std::vector<std::size_t> expected_types(Parser& parser) {
  std::vector<std::size_t> out;
  for (const ssize_t type : parser.getExpectedTokens().toList()) {
    out.push_back(static_cast<std::size_t>(type));
  }
  return out;
}

/// "Expected a, b or c." when that is short enough to help.
std::string expectation(const Parser& parser, const std::vector<std::size_t>& types) {
  constexpr std::size_t helpful = 6;
  std::vector<std::string> words;
  for (const std::size_t type : types) {
    const std::string word = expected_word(parser, type);
    if (std::find(words.begin(), words.end(), word) == words.end()) words.push_back(word);
  }
  if (words.empty() || words.size() > helpful) return {};
  return "Expected " + text::list_words(words, "or") + ".";
}

/// The form of the statement in which the parser is, by the keyword that started it.
std::string form_advice(Parser& parser) {
  const antlr4::RuleContext* rule = parser.getContext();
  while (rule != nullptr) {
    const auto* context = static_cast<const ParserRuleContext*>(rule);
    const Token* first = context->start;
    const std::size_t index = rule->getRuleIndex();
    if (index == BudwoodParser::RuleWorkHead) {
      return "Write it like: " + std::string(statement_form("do"));
    }
    if (first != nullptr && starts_statement(first->getType())) {
      const std::string_view form = statement_form(first->getText());
      if (!form.empty()) return "Write it like: " + std::string(form);
    }
    rule = static_cast<const antlr4::RuleContext*>(rule->parent);
  }
  return {};
}

struct Block {
  std::size_t rule;
  const char* where;
  std::vector<std::size_t> statements;
};

const Block* block_of(std::size_t rule) {
  using P = BudwoodParser;
  static const std::vector<Block> blocks{
      {P::RuleFile, "a file", {P::PROTOCOL}},
      {P::RuleProtocolBody,
       "a protocol",
       {P::EDITION, P::CROP, P::SOURCE, P::NOTE, P::INPUT, P::LET, P::TABLE, P::SUPPLY, P::PART,
        P::STAGE, P::REQUIRE, P::ADVISE}},
      {P::RuleStageBody,
       "a stage",
       {P::AFTER, P::ROOM, P::SPACE, P::LASTS, P::MAY, P::NO, P::LOSES, P::DO, P::KEEP, P::TAPER,
        P::MIST, P::NOTE, P::SOURCE, P::REQUIRE, P::ADVISE}},
      {P::RuleWorkBody,
       "a `do` block",
       {P::RATE, P::TIME_, P::CREW, P::PEOPLE, P::USE, P::TOOL, P::TAGGED, P::CAUTION, P::RECORD,
        P::NOTE}},
  };
  for (const Block& block : blocks) {
    if (block.rule == rule) return &block;
  }
  return nullptr;
}

bool holds(const std::vector<std::size_t>& types, std::size_t type) {
  return std::find(types.begin(), types.end(), type) != types.end();
}

bool closes(std::size_t type) {
  return type == BudwoodParser::RBRACE || type == Token::EOF;
}

/// Whether the statement belongs to a block around the current one, so that a brace was forgotten.
bool belongs_outside(Parser& parser, std::size_t type) {
  const auto* rule = static_cast<const antlr4::RuleContext*>(parser.getContext()->parent);
  for (; rule != nullptr; rule = static_cast<const antlr4::RuleContext*>(rule->parent)) {
    const Block* block = block_of(rule->getRuleIndex());
    if (block != nullptr && holds(block->statements, type)) return true;
  }
  return false;
}

/// Passes over a block in braces as a whole.
void skip_block(Parser& parser) {
  int depth = 0;
  do {
    const std::size_t type = parser.getTokenStream()->LA(1);
    if (type == Token::EOF) return;
    if (type == BudwoodParser::LBRACE) ++depth;
    if (type == BudwoodParser::RBRACE) --depth;
    parser.consume();
  } while (depth > 0);
}

/// Passes over what is left of a statement that cannot be read.
void skip_statement(Parser& parser) {
  parser.consume();
  while (true) {
    const std::size_t type = parser.getTokenStream()->LA(1);
    if (closes(type) || starts_statement(type)) return;
    if (type == BudwoodParser::LBRACE) {
      skip_block(parser);
      return;
    }
    parser.consume();
  }
}

}  // namespace

bool is_keyword(std::size_t type) {
  return type >= BudwoodParser::PROTOCOL && type <= BudwoodParser::NOT;
}

bool starts_statement(std::size_t type) {
  for (const std::size_t rule : {BudwoodParser::RuleFile, BudwoodParser::RuleProtocolBody,
                                 BudwoodParser::RuleStageBody, BudwoodParser::RuleWorkBody}) {
    if (holds(block_of(rule)->statements, type)) return true;
  }
  return false;
}

bool SyntaxErrors::report_token_itself(Parser* parser, Token* token) {
  if (token->getType() == BudwoodParser::UNCLOSED) {
    diagnostics_.error("unclosed-text", places_.span(token),
                       "This text has no closing quote on its line.",
                       "Close it with \" on the same line.");
    return true;
  }
  if (token->getType() == BudwoodParser::STRAY) {
    diagnostics_.error("stray-character", places_.span(token),
                       "The character " + quoted(token) + " has no meaning here.", "Take it out.");
    return true;
  }
  const Token* before = parser->getTokenStream()->LT(-1);
  const bool same_line = before != nullptr && before->getLine() == token->getLine();
  const std::vector<std::size_t> types = expected_types(*parser);
  if (same_line && is_keyword(token->getType()) && types == std::vector{name_token}) {
    // Read as the name that it was meant to be, not as the start of a statement.
    passes_keyword_ = true;
    diagnostics_.error("keyword-as-name", places_.span(token),
                       quoted(token) + " is a word of the language and cannot be a name.",
                       "Choose another name, such as `my_" + token->getText() + "`.");
    return true;
  }
  return false;
}

void SyntaxErrors::report(Parser* parser, Token* token) {
  if (report_token_itself(parser, token)) return;
  if (token->getType() == Token::EOF) {
    report_open_block(parser, token);
    return;
  }
  const std::vector<std::size_t> types = expected_types(*parser);
  std::string advice;
  if (token->getType() == BudwoodParser::NAME) {
    std::vector<std::string> words;
    for (const std::size_t type : types) {
      if (is_keyword(type)) words.push_back(keyword_text(*parser, type));
    }
    advice = text::did_you_mean(token->getText(), words);
  }
  if (advice.empty()) advice = form_advice(*parser);
  if (advice.empty()) advice = expectation(*parser, types);
  std::string message = quoted(token) + " does not fit here.";
  const std::string expected = expectation(*parser, types);
  if (!expected.empty() && expected != advice) message += " " + expected;
  diagnostics_.error("syntax", places_.span(token), message, advice);
}

void SyntaxErrors::report_open_block(Parser* parser, Token* token) {
  const auto* rule = parser->getContext();
  for (const antlr4::RuleContext* r = rule; r != nullptr;
       r = static_cast<const antlr4::RuleContext*>(r->parent)) {
    const auto* context = static_cast<const ParserRuleContext*>(r);
    if (r->getRuleIndex() != BudwoodParser::RuleFile && block_of(r->getRuleIndex()) != nullptr &&
        context->start->getType() == BudwoodParser::LBRACE) {
      text::Diagnostic d;
      d.code = "unclosed-block";
      d.span = places_.span(token);
      d.message = token->getType() == Token::EOF
                      ? "The file ends inside " + std::string(block_of(r->getRuleIndex())->where) +
                            "; a closing brace is missing."
                      : quoted(token) + " starts here, but " +
                            std::string(block_of(r->getRuleIndex())->where) +
                            " before it is not closed.";
      d.advice = "Put a } where the block should end.";
      d.related.push_back({places_.span(context->start), "The block starts here."});
      diagnostics_.add(std::move(d));
      return;
    }
  }
  diagnostics_.error("syntax", places_.span(token), "The file ends in the middle of a statement.",
                     form_advice(*parser));
}

void SyntaxErrors::report_unknown_statement(Parser* parser, Token* token) {
  if (token->getType() == BudwoodParser::UNCLOSED || token->getType() == BudwoodParser::STRAY) {
    report_token_itself(parser, token);
    return;
  }
  const Block* block = block_of(parser->getContext()->getRuleIndex());
  const std::string word = token->getText();
  const text::Span span = places_.span(token);
  if (token->getType() == BudwoodParser::NAME && is_later_statement(word)) {
    diagnostics_.error("unsupported", span,
                       "`" + word + "` cannot be acted on by this release of Budwood.",
                       "Take the statement out; nothing of it would reach the plan.");
    return;
  }
  if (starts_statement(token->getType())) {
    diagnostics_.error("misplaced", span,
                       quoted(token) + " is not a statement of " + block->where + ".",
                       "Move it to where it belongs; grammar/README.md tells where.");
    return;
  }
  if (token->getType() != BudwoodParser::NAME) {
    diagnostics_.error("syntax", span,
                       quoted(token) + " does not fit here: " + block->where +
                           " holds statements, and each starts with its keyword.");
    return;
  }
  std::vector<std::string> words;
  for (std::size_t type = BudwoodParser::PROTOCOL; type <= BudwoodParser::NOT; ++type) {
    words.push_back(keyword_text(*parser, type));
  }
  std::string advice = text::did_you_mean(word, words);
  if (advice.empty()) {
    std::vector<std::string> here;
    for (const std::size_t type : block->statements) {
      here.push_back("`" + keyword_text(*parser, type) + "`");
    }
    advice = "Here stand " + text::list_words(here, "and") + ".";
  }
  diagnostics_.error("unknown-statement", span,
                     quoted(token) + " is not a statement of " + block->where + ".", advice);
}

void SyntaxErrors::reportError(Parser* parser, const antlr4::RecognitionException& e) {
  if (inErrorRecoveryMode(parser)) return;
  beginErrorCondition(parser);
  report(parser, e.getOffendingToken());
}

void SyntaxErrors::reportUnwantedToken(Parser* parser) {
  if (inErrorRecoveryMode(parser)) return;
  beginErrorCondition(parser);
  report(parser, parser->getCurrentToken());
}

void SyntaxErrors::reportMissingToken(Parser* parser) {
  if (inErrorRecoveryMode(parser)) return;
  beginErrorCondition(parser);
  Token* token = parser->getCurrentToken();
  const bool brace_missing = holds(expected_types(*parser), BudwoodParser::RBRACE);
  if (brace_missing && starts_statement(token->getType())) {
    report_open_block(parser, token);
  } else {
    report(parser, token);
    if (passes_keyword_) parser->consume();
    passes_keyword_ = false;
  }
}

Token* SyntaxErrors::singleTokenDeletion(Parser* parser) {
  const std::size_t type = parser->getTokenStream()->LA(1);
  const bool structure = closes(type) || type == BudwoodParser::LBRACE || starts_statement(type);
  return structure ? nullptr : DefaultErrorStrategy::singleTokenDeletion(parser);
}

void SyntaxErrors::sync(Parser* parser) {
  const Block* block = block_of(parser->getContext()->getRuleIndex());
  if (block == nullptr) {
    // Inside a statement the parser's own look-ahead decides; only bodies of blocks are swept here.
    return;
  }
  auto* state =
      parser->getInterpreter<antlr4::atn::ParserATNSimulator>()->atn.states[parser->getState()];
  if (state->getStateType() != antlr4::atn::ATNState::STAR_LOOP_BACK &&
      state->getStateType() != antlr4::atn::ATNState::STAR_LOOP_ENTRY) {
    return;
  }
  while (true) {
    Token* token = parser->getCurrentToken();
    const std::size_t type = token->getType();
    if (holds(block->statements, type) || type == Token::EOF) return;
    if (type == BudwoodParser::RBRACE && block->rule != BudwoodParser::RuleFile) return;
    if (belongs_outside(*parser, type)) return;
    if (!inErrorRecoveryMode(parser)) report_unknown_statement(parser, token);
    if (type == BudwoodParser::LBRACE) {
      skip_block(*parser);
    } else {
      skip_statement(*parser);
    }
    endErrorCondition(parser);
  }
}

void SyntaxErrors::recover(Parser* parser, std::exception_ptr /*e*/) {
  if (passes_keyword_) parser->consume();
  passes_keyword_ = false;
  // The same place and state twice would never end: give up one token.
  if (lastErrorIndex == static_cast<ssize_t>(parser->getInputStream()->index()) &&
      lastErrorStates.contains(parser->getState())) {
    parser->consume();
  }
  lastErrorIndex = static_cast<ssize_t>(parser->getInputStream()->index());
  lastErrorStates.add(parser->getState());
  const antlr4::misc::IntervalSet follow = getErrorRecoverySet(parser);
  while (true) {
    const std::size_t type = parser->getTokenStream()->LA(1);
    if (closes(type) || starts_statement(type)) return;
    if (type == BudwoodParser::LBRACE) {
      if (follow.contains(static_cast<ssize_t>(type))) return;
      skip_block(*parser);
    } else {
      parser->consume();
    }
  }
}

}  // namespace budwood::language
