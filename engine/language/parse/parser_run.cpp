#include "language/parse/parser_run.hpp"

#include "language/parse/syntax_errors.hpp"

namespace budwood::language {

namespace {

using antlr4::Token;
using grammar::BudwoodLexer;

constexpr std::size_t largest_text = 1U << 20U;

/// Gives up on text that would use up stack or memory. How deep rules stand in each other is
/// counted for all of them, so that no circle in the grammar, old or new, can go round without end;
/// the number of values in one statement is bounded too, because formulas are worked through from
/// one end. No method of the trade comes near.
class BoundedParser : public grammar::BudwoodParser {
 public:
  struct GaveUp {
    const Token* token;
    const char* code;
    const char* message;
    const char* advice;
  };

  using BudwoodParser::BudwoodParser;

  void enterRule(antlr4::ParserRuleContext* context, std::size_t state, std::size_t rule) override {
    BudwoodParser::enterRule(context, state, rule);
    const bool statement = rule == RuleProtocolItem || rule == RuleStageItem ||
                           rule == RuleWorkItem || rule == RuleChangeItem || rule == RuleRuleItem ||
                           rule == RuleForEachItem;
    if (statement) values_ = 0;
    if (rule == RulePrimary && ++values_ > most_values) {
      throw GaveUp{getCurrentToken(), "too-long",
                   "This statement holds more values than Budwood reads.", split};
    }
    const bool loops = rule == RuleForEach && levels_of(context, RuleForEach) > most_loops;
    if (loops || levels_of(context, any_rule) > deepest) {
      throw GaveUp{getCurrentToken(), "too-nested", "This is nested deeper than Budwood reads.",
                   levels_of(context, RuleFormula) > 0
                       ? split
                       : "Write it in fewer blocks inside each other."};
    }
  }

 private:
  static constexpr int deepest = 500;  ///< rules inside each other; a pair of brackets is ten
  static constexpr int most_values = 1000;
  static constexpr int most_loops = 8;  ///< each goes through all stages, or all work
  static constexpr const char* split = "Split it up with `let`.";
  static constexpr std::size_t any_rule = SIZE_MAX;

  /// How many rules, or rules of one kind, are open.
  static int levels_of(const antlr4::RuleContext* context, std::size_t rule) {
    int levels = 0;
    while (context != nullptr) {
      levels += rule == any_rule || context->getRuleIndex() == rule ? 1 : 0;
      context = static_cast<const antlr4::RuleContext*>(context->parent);
    }
    return levels;
  }

  int values_ = 0;
};

/// Whether a statement can be over with this token.
bool may_end_statement(const Token* before) {
  switch (before->getType()) {
    case BudwoodLexer::NAME:
    case BudwoodLexer::NUMBER:
    case BudwoodLexer::COMPOUND:
    case BudwoodLexer::STRING:
    case BudwoodLexer::DATE:
    case BudwoodLexer::TIME:
    case BudwoodLexer::PERCENT:
    case BudwoodLexer::RPAREN:
    case BudwoodLexer::LBRACE:
    case BudwoodLexer::RBRACE:
      return true;
    default:
      return false;
  }
}

/// Marks words that mean something only behind the head of an input, of a work or of a recipe, so
/// that they can be names elsewhere.
void mark_word_of(const Token& head, const Token* before, Token& token) {
  using P = grammar::BudwoodParser;
  const auto is = [&](std::size_t type, const char* text) {
    return token.getType() == type && token.getText() == text;
  };
  const auto mark = [&](std::size_t type) {
    static_cast<antlr4::CommonToken&>(token).setType(type);
  };
  if (head.getType() == BudwoodLexer::DO) {
    if (is(BudwoodLexer::NAME, "first")) mark(P::FIRST);
    if (is(BudwoodLexer::NAME, "overnight")) mark(P::OVERNIGHT);
    return;
  }
  if (head.getType() == BudwoodLexer::RECIPE) {
    if (before == &head) return;  // its name
    if (is(BudwoodLexer::NAME, "makes")) mark(P::MAKES);
    if (is(BudwoodLexer::NAME, "keeps")) mark(P::KEEPS);
    if (is(BudwoodLexer::NAME, "made")) mark(P::MADE);
    if (is(BudwoodLexer::NAME, "vessels")) mark(P::VESSELS);
    if (is(BudwoodLexer::NAME, "pH") || is(BudwoodLexer::NAME, "ph")) mark(P::PH);
    return;
  }
  if (!may_end_statement(before) && before->getType() != P::BATCHES) return;
  if (token.getType() == BudwoodLexer::SOURCE && head.getLine() == token.getLine()) {
    mark(P::FIGURE_SOURCE);
  }
  if (is(BudwoodLexer::NAME, "spread")) mark(P::SPREAD);
  const bool batches = is(BudwoodLexer::NAME, "batches") || is(BudwoodLexer::NAME, "batch");
  if (batches && before->getType() == BudwoodLexer::NUMBER) {
    mark(P::BATCHES);
  }
}

/// A word that begins a line where the line before may have ended its statement is meant as a
/// statement, not as the unit or the name that could just follow. Marking it lets a misspelt
/// keyword be reported as such.
void mark_line_words(const std::vector<Token*>& tokens) {
  int brackets = 0;
  const Token* before = nullptr;
  const Token* head = nullptr;  // that begins the last input, work or recipe
  bool setting_name = false;    // `before` names the setting of `keep` or `taper`
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    Token* token = tokens[i];
    if (token->getChannel() != Token::DEFAULT_CHANNEL) continue;
    const std::size_t type = token->getType();
    const bool begins_line = before != nullptr && token->getLine() > before->getLine();
    // The word of a row of a table stands before its colon.
    const bool row = i + 1 < tokens.size() && tokens[i + 1]->getText() == ":";
    if (type == BudwoodLexer::NAME && begins_line && brackets == 0 && !setting_name && !row &&
        may_end_statement(before)) {
      static_cast<antlr4::CommonToken*>(token)->setType(grammar::BudwoodParser::LINE_WORD);
    }
    if (type == BudwoodLexer::INPUT || type == BudwoodLexer::SET || type == BudwoodLexer::DO ||
        type == BudwoodLexer::RECIPE) {
      head = token;
    } else if (head != nullptr && brackets == 0) {
      mark_word_of(*head, before, *token);
    }
    if (type == BudwoodLexer::LPAREN) ++brackets;
    // A bracket that is never closed must not hide all that follows.
    if (type == BudwoodLexer::RPAREN && brackets > 0) --brackets;
    if (type == BudwoodLexer::LBRACE || type == BudwoodLexer::RBRACE) {
      brackets = 0;
      head = nullptr;
    }
    setting_name = before != nullptr && (before->getType() == BudwoodLexer::KEEP ||
                                         before->getType() == BudwoodLexer::TAPER);
    before = token;
  }
}

/// Marks words behind a value of `space` or `grades`: see TAIL_WORD in the grammar.
void mark_tail_words(const std::vector<Token*>& tokens) {
  using P = grammar::BudwoodParser;
  std::size_t head = Token::EOF;  // that of the statement, where it is one of these
  int brackets = 0;
  const Token* before = nullptr;
  bool behind_name = false;  // `before` is the name of a grade
  for (Token* token : tokens) {
    if (token->getChannel() != Token::DEFAULT_CHANNEL) continue;
    const std::size_t type = token->getType();
    const std::size_t last = before == nullptr ? Token::EOF : before->getType();
    const bool over =
        brackets == 0 && before != nullptr && (may_end_statement(before) || last == P::TAIL_WORD);
    const bool grade_name = head == P::GRADES && (last == P::GRADES || before->getText() == ",");
    const bool tail = head == P::SPACE ? last == P::NAME || last == P::RPAREN
                                       : head == P::GRADES && last != P::NUMBER && !behind_name;
    if (type == P::SPACE || type == P::GRADES) {
      head = type;
      brackets = 0;
    } else if (over && starts_statement(type) && type != P::UNTIL) {  // `until day 14` goes on
      head = Token::EOF;
    } else if (over && tail && type == P::NAME) {
      static_cast<antlr4::CommonToken*>(token)->setType(P::TAIL_WORD);
    }
    if (type == P::LPAREN) ++brackets;
    if (type == P::RPAREN && brackets > 0) --brackets;
    if (type == P::LBRACE || type == P::RBRACE) head = Token::EOF;
    before = token;
    behind_name = grade_name;
  }
}

/// Whether more blocks are opened than closed.
bool lacks_brace(const std::vector<Token*>& tokens) {
  std::ptrdiff_t open = 0;
  for (const Token* token : tokens) {
    if (token->getType() == BudwoodLexer::LBRACE) ++open;
    if (token->getType() == BudwoodLexer::RBRACE) --open;
  }
  return open > 0;
}

/// Whether the text can be given to the lexer at all.
bool is_readable(const text::Source& source, text::Diagnostics& diagnostics) {
  if (source.text().size() > largest_text) {
    diagnostics.error("large-file", {&source, 0, 0},
                      "This file is larger than 1 MB, which no written method needs.",
                      "Split it, or check that this is the right file.");
    return false;
  }
  return text::is_text(source, diagnostics);
}

}  // namespace

TokenRun::TokenRun(const text::Source& source)
    : places_(source), input_(std::string(source.text())), lexer_(&input_), tokens_(&lexer_) {
  lexer_.removeErrorListeners();
  tokens_.fill();
  mark_line_words(tokens_.getTokens());
  mark_tail_words(tokens_.getTokens());
}

ParserRun::ParserRun(const text::Source& source, text::Diagnostics& diagnostics) {
  if (!is_readable(source, diagnostics)) return;
  tokens_ = std::make_unique<TokenRun>(source);
  auto parser = std::make_unique<BoundedParser>(&tokens_->stream());
  parser->removeErrorListeners();
  messages_ = std::make_unique<SyntaxMessages>(tokens_->places(), diagnostics);
  const auto errors = std::make_shared<SyntaxErrors>(*messages_, lacks_brace(tokens_->all()));
  parser->setErrorHandler(errors);
  // The grammar is decided by a few tokens alone, so the fast mode reads it fully.
  parser->getInterpreter<antlr4::atn::ParserATNSimulator>()->setPredictionMode(
      antlr4::atn::PredictionMode::SLL);
  try {
    tree_ = parser->file();
  } catch (const SyntaxErrors::GaveUp&) {
  } catch (const BoundedParser::GaveUp& reason) {
    diagnostics.error(reason.code, tokens_->places().span(reason.token), reason.message,
                      reason.advice);
  }
  mistakes_ = errors->count();
  parser_ = std::move(parser);
}

ParserRun::~ParserRun() = default;

}  // namespace budwood::language
