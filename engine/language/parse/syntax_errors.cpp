#include "language/parse/syntax_errors.hpp"

namespace budwood::language {

namespace {

using antlr4::Parser;
using antlr4::ParserRuleContext;
using antlr4::Token;
using grammar::BudwoodParser;

bool closes(std::size_t type) {
  return type == BudwoodParser::RBRACE || type == Token::EOF;
}

/// Where a statement that cannot be read is over.
bool ends_statement(std::size_t type) {
  return closes(type) || starts_statement(type) || type == BudwoodParser::LINE_WORD;
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

/// Passes over what is left of a statement that cannot be read; words on its own line are part of
/// it even if they could start another.
void skip_statement(Parser& parser) {
  const std::size_t line = parser.getCurrentToken()->getLine();
  parser.consume();
  while (true) {
    const Token* token = parser.getCurrentToken();
    const std::size_t type = token->getType();
    if (closes(type) || (ends_statement(type) && token->getLine() > line)) return;
    if (type == BudwoodParser::LBRACE) {
      skip_block(parser);
      return;
    }
    parser.consume();
  }
}

bool is_head(std::size_t rule) {
  return rule == BudwoodParser::RuleProtocolHead || rule == BudwoodParser::RuleStageHead ||
         rule == BudwoodParser::RuleWorkHead || rule == BudwoodParser::RuleTableHead ||
         rule == BudwoodParser::RuleChangeHead || rule == BudwoodParser::RuleAdditionHead ||
         rule == BudwoodParser::RuleWorkChangeHead;
}

bool on_line_of_previous(Parser& parser, const Token* token) {
  const Token* before = parser.getTokenStream()->LT(-1);
  return before != nullptr && before->getLine() == token->getLine();
}

/// Something is left over behind the last statement that was read, so it does not say what it
/// seemed to say.
void distrust_last_statement(Parser& parser) {
  std::vector<antlr4::tree::ParseTree*>& children = parser.getContext()->children;
  if (children.empty()) return;
  auto* last = dynamic_cast<ParserRuleContext*>(children.back());
  if (last == nullptr || last->exception != nullptr) return;
  last->exception = std::make_exception_ptr(SyntaxErrors::GaveUp{});
}

}  // namespace

bool SyntaxErrors::is_keyword_as_name(Parser& parser, const Token* token) {
  if (!is_keyword(token->getType()) || !on_line_of_previous(parser, token)) return false;
  return expected_types(parser) == std::vector<std::size_t>{BudwoodParser::NAME};
}

void SyntaxErrors::count_one(Token* token) {
  if (++count_ < most) return;
  messages_.gave_up(token, count_);
  throw GaveUp{};
}

/// One slip is told once: what follows it in its line and block is read wrongly because of it.
bool SyntaxErrors::told_of_line(Parser& parser, const Token* token) {
  const bool same_line = token->getLine() == told_line_ && told_index_ <= token->getTokenIndex();
  bool same_block = same_line;
  for (std::size_t i = told_index_; same_block && i < token->getTokenIndex(); ++i) {
    const std::size_t type = parser.getTokenStream()->get(i)->getType();
    same_block = type != BudwoodParser::LBRACE && type != BudwoodParser::RBRACE;
  }
  // At the start of a line it is told of the statement above that is not finished.
  told_line_ = on_line_of_previous(parser, token) ? token->getLine() : 0;
  told_index_ = token->getTokenIndex();
  return same_block;
}

void SyntaxErrors::report(Parser& parser, Token* token) {
  const bool told = told_of_line(parser, token);
  if (is_keyword_as_name(parser, token)) {
    // Read as the name that it was meant to be, not as the start of a statement.
    passes_keyword_ = true;
    if (!told) messages_.keyword_as_name(token);
  } else if (starts_statement(token->getType()) &&
             holds(expected_types(parser), BudwoodParser::RBRACE)) {
    messages_.open_block(parser, token);
  } else if (!told) {
    messages_.does_not_fit(parser, token);
  }
  count_one(token);
}

void SyntaxErrors::reportError(Parser* parser, const antlr4::RecognitionException& e) {
  if (inErrorRecoveryMode(parser)) return;
  beginErrorCondition(parser);
  report(*parser, e.getOffendingToken());
}

void SyntaxErrors::reportUnwantedToken(Parser* parser) {
  if (inErrorRecoveryMode(parser)) return;
  beginErrorCondition(parser);
  report(*parser, parser->getCurrentToken());
}

void SyntaxErrors::reportMissingToken(Parser* parser) {
  if (inErrorRecoveryMode(parser)) return;
  beginErrorCondition(parser);
  report(*parser, parser->getCurrentToken());
  if (passes_keyword_) parser->consume();
  passes_keyword_ = false;
}

Token* SyntaxErrors::singleTokenDeletion(Parser* parser) {
  const std::size_t type = parser->getTokenStream()->LA(1);
  const bool structure = ends_statement(type) || type == BudwoodParser::LBRACE;
  return structure ? nullptr : DefaultErrorStrategy::singleTokenDeletion(parser);
}

/// Only brackets and braces are thought in: with a keyword made up, the rest of the statement would
/// be read as something that nobody wrote.
bool SyntaxErrors::singleTokenInsertion(Parser* parser) {
  const std::vector<std::size_t> expected = expected_types(*parser);
  return (holds(expected, BudwoodParser::RBRACE) || holds(expected, BudwoodParser::RPAREN)) &&
         DefaultErrorStrategy::singleTokenInsertion(parser);
}

void SyntaxErrors::sync(Parser* parser) {
  // Inside a statement the parser's own look-ahead decides; only blocks are swept here.
  const std::size_t rule = parser->getContext()->getRuleIndex();
  if (rule == BudwoodParser::RuleWork) {
    sync_work_head(*parser);
    return;
  }
  const Block* block = block_of(rule);
  if (block == nullptr) return;
  auto* state =
      parser->getInterpreter<antlr4::atn::ParserATNSimulator>()->atn.states[parser->getState()];
  if (state->getStateType() == antlr4::atn::ATNState::STAR_LOOP_BACK ||
      state->getStateType() == antlr4::atn::ATNState::STAR_LOOP_ENTRY) {
    sync_block(*parser, *block);
  }
}

/// Passes over everything that is not a statement of the block, and reports it.
void SyntaxErrors::sync_block(Parser& parser, const Block& block) {
  bool misplaced = false;
  while (true) {
    Token* token = parser.getCurrentToken();
    const std::size_t type = token->getType();
    if (type == Token::EOF) return;
    if (holds(block.statements, type)) {
      if (token->getTokenIndex() != last_statement_) {
        last_statement_ = token->getTokenIndex();
        return;
      }
      // The statement did not take its own keyword; passing over it keeps reading from standing.
      skip_statement(parser);
      continue;
    }
    if (type == BudwoodParser::RBRACE && block.rule != BudwoodParser::RuleFile) return;
    if (brace_missing_ && belongs_outside(parser, type)) return;
    // Recovery has come to a new statement, which answers for itself.
    if (ends_statement(type)) endErrorCondition(&parser);
    // Of a run of statements in the wrong block, and the brace after it, the first says it all.
    const bool runs_on = misplaced && (starts_statement(type) || type == BudwoodParser::RBRACE);
    if (!inErrorRecoveryMode(&parser) && !runs_on) {
      const bool left_over = on_line_of_previous(parser, token) && !starts_statement(type) &&
                             parser.getTokenStream()->LA(-1) != BudwoodParser::LBRACE &&
                             parser.getTokenStream()->LA(-1) != BudwoodParser::RBRACE;
      const bool told = told_of_line(parser, token);
      if (left_over) distrust_last_statement(parser);
      if (left_over && !told) {
        messages_.left_over(parser, token);
      } else if (!told) {
        messages_.no_statement(parser, token, block);
      }
      count_one(token);
    }
    misplaced = misplaced || starts_statement(type);
    if (type == BudwoodParser::LBRACE) {
      skip_block(parser);
    } else {
      skip_statement(parser);
    }
    endErrorCondition(&parser);
  }
}

/// Passes over what is left over in the head of a work, so that its block is still read.
void SyntaxErrors::sync_work_head(Parser& parser) {
  Token* token = parser.getCurrentToken();
  const auto goes_on = [](std::size_t type) {
    return !ends_statement(type) && type != BudwoodParser::LBRACE;
  };
  if (!goes_on(token->getType()) || inErrorRecoveryMode(&parser)) return;
  distrust_last_statement(parser);
  if (!told_of_line(parser, token)) messages_.left_over(parser, token);
  count_one(token);
  while (goes_on(parser.getTokenStream()->LA(1))) parser.consume();
}

/// Goes on to where a statement can start. It may stop where it stands: every statement takes its
/// own keyword (sync_block sees to it), so reading moves on all the same.
void SyntaxErrors::recover(Parser* parser, std::exception_ptr /*e*/) {
  if (passes_keyword_) parser->consume();
  passes_keyword_ = false;
  const antlr4::misc::IntervalSet follow = getErrorRecoverySet(parser);
  const std::size_t rule = parser->getContext()->getRuleIndex();
  const bool in_head = is_head(rule);
  while (true) {
    const Token* token = parser->getCurrentToken();
    const std::size_t type = token->getType();
    // What follows the head of a block on its line belongs to it, up to the brace.
    const bool head_goes_on = in_head && !closes(type) && on_line_of_previous(*parser, token);
    // `until day 3` is the tail of a statement; `until` at the start of a line is one of its own.
    const bool tail = (type == BudwoodParser::UNTIL || type == BudwoodParser::IN) &&
                      on_line_of_previous(*parser, token);
    if (ends_statement(type) && !head_goes_on && !tail) {
      // The brace of a table is its own; it must not close the block around it.
      if (rule == BudwoodParser::RuleTableBody && type == BudwoodParser::RBRACE) parser->consume();
      return;
    }
    if (type == BudwoodParser::LBRACE) {
      if (follow.contains(static_cast<ssize_t>(type))) return;
      skip_block(*parser);
    } else {
      parser->consume();
    }
  }
}

}  // namespace budwood::language
