#include "language/layout/tidy.hpp"

#include <algorithm>

#include "language/layout/lines.hpp"

namespace budwood::language {

namespace {

using antlr4::Token;
using grammar::BudwoodLexer;
using P = grammar::BudwoodParser;

bool is_comment(const Token* token) {
  return token->getChannel() != Token::DEFAULT_CHANNEL;
}

/// A token as it stands in the standard layout. Only a quantity with a compound unit and `count of`
/// hold white space that can differ.
std::string laid_out(const Token* token) {
  const std::string written = token->getText();
  if (token->getType() == BudwoodLexer::COMPOUND) {
    const std::size_t number = written.find_first_not_of("0123456789.");
    const std::size_t unit = written.find_first_not_of(" \t", number);
    return written.substr(0, number) + " " + written.substr(unit);
  }
  if (token->getType() == BudwoodLexer::COUNT_OF) return "count of";
  if (is_comment(token)) return written.substr(0, written.find_last_not_of(" \t\r") + 1);
  return written;
}

/// Whether two tokens of one statement stand side by side.
bool touch(const Token* before, const TokenMark& mark_before, const Token* token,
           const TokenMark& mark) {
  const std::string left = before->getText();
  const std::string right = token->getText();
  if (right == "," || right == ")" || left == "(" || mark.calls) return true;
  if (left == "." || right == ".") return true;
  if (mark.rule == P::RuleTablePoint && right == ":") return true;
  const bool sign = mark_before.rule == P::RuleFactor || mark_before.rule == P::RuleSignedNumber;
  if (left == "-" && sign) return true;
  // Units of a declaration: `in umol/m2/s`.
  return (left == "/" && mark_before.rule == P::RuleUnitText) ||
         (right == "/" && mark.rule == P::RuleUnitText);
}

/// Lays the tokens out one by one.
class Layout {
 public:
  explicit Layout(ParserRun& run) : tokens_(run.tokens().all()), marks_(mark_tokens(run)) {}

  std::string text() {
    for (const Token* token : tokens_) {
      if (token->getType() == Token::EOF) break;
      if (is_comment(token)) {
        comment(token);
      } else {
        word(token);
      }
      above_ = token;
    }
    end_line();
    return text_of(std::move(lines_));
  }

 private:
  const TokenMark& mark_of(const Token* token) const { return marks_[token->getTokenIndex()]; }

  /// How many line breaks the text has in front of a token. No token spans lines.
  std::size_t breaks_above(const Token* token) const {
    return above_ == nullptr ? 0 : token->getLine() - above_->getLine();
  }

  void comment(const Token* token) {
    if (above_ != nullptr && breaks_above(token) == 0) {
      line_.comment = laid_out(token);
      return;
    }
    start_line(token);
    line_.cells.push_back({Column::none, laid_out(token)});
  }

  void word(const Token* token) {
    const TokenMark& mark = mark_of(token);
    if (mark.closes) --depth_;
    if (line_.empty() || breaks_before(token, mark)) {
      start_line(token);
      if (mark.begins_item) line_.statement = mark.item;
    }
    put(token, mark);
    after_wide_ = mark.closes && mark.wide;
    at_edge_ = mark.opens;
    if (mark.opens) ++depth_;
    if (mark.flat) flat_ += mark.opens ? 1 : -1;
    before_ = token;
  }

  bool breaks_before(const Token* token, const TokenMark& mark) const {
    if (is_comment(above_)) return true;
    if (mark.opens) return false;
    if (mark.closes) return !mark.flat;
    // Points of a table stand in the rows in which they were written.
    const bool row = mark.item == P::RuleTablePoint && !mark_of(before_).opens;
    if (mark.begins_item && !row) return flat_ == 0;
    return breaks_above(token) > 0;
  }

  /// The next token that is no comment, from this one on.
  const Token* next_word(const Token* token) const {
    std::size_t place = token->getTokenIndex();
    while (is_comment(tokens_[place])) ++place;
    return tokens_[place];
  }

  /// Whether an empty line was written between a comment and the next word.
  bool blank_below(const Token* token) const {
    for (std::size_t place = token->getTokenIndex(); is_comment(tokens_[place]); ++place) {
      if (tokens_[place + 1]->getLine() > tokens_[place]->getLine() + 1) return true;
    }
    return false;
  }

  void start_line(const Token* token) {
    end_line();
    const Token* next = next_word(token);
    const TokenMark& mark = mark_of(next);
    const bool after_open = before_ != nullptr && mark_of(before_).opens;
    line_.goes_on = before_ != nullptr && next->getType() != Token::EOF && !mark.begins_item &&
                    !mark.closes && !after_open;
    line_.indent = 2 * depth_ + (line_.goes_on ? 4 : 0);
    const bool edge = at_edge_ || lines_.empty() || (mark.closes && next == token);
    // Comments in front of a block belong to it.
    const bool first = above_ == before_ || breaks_above(token) > 1;
    const bool apart =
        after_wide_ || (mark.wide && mark.begins_item && first && !blank_below(token));
    line_.blank_before = !edge && !line_.goes_on && (breaks_above(token) > 1 || apart);
    at_edge_ = false;
    after_wide_ = false;
  }

  void put(const Token* token, const TokenMark& mark) {
    const bool begins_cell =
        line_.cells.empty() || (mark.column != Column::none && !line_.goes_on && flat_ == 0);
    if (begins_cell) {
      line_.cells.push_back({mark.column, laid_out(token)});
    } else {
      line_.cells.back().text += space_before(token, mark) + laid_out(token);
    }
  }

  std::string space_before(const Token* token, const TokenMark& mark) const {
    const TokenMark& mark_before = mark_of(before_);
    if (mark_before.opens && mark.closes) return "";
    if (mark.begins_item && !mark_before.opens) {
      return mark.item == P::RuleTablePoint ? "   " : "  ";
    }
    return touch(before_, mark_before, token, mark) ? "" : " ";
  }

  void end_line() {
    if (!line_.empty()) lines_.push_back(std::move(line_));
    line_ = {};
  }

  std::vector<Token*> tokens_;
  std::vector<TokenMark> marks_;
  std::vector<LaidLine> lines_;
  LaidLine line_;
  const Token* above_ = nullptr;   ///< the token before, be it a comment
  const Token* before_ = nullptr;  ///< the word before
  std::size_t depth_ = 0;          ///< blocks that are open
  int flat_ = 0;                   ///< of them, those on one line
  bool at_edge_ = false;           ///< nothing stands in the open block yet
  bool after_wide_ = false;        ///< the line above closes a block of several lines
};

}  // namespace

std::optional<std::string> tidy(const text::Source& source, text::Diagnostics& diagnostics) {
  ParserRun run(source, diagnostics);
  if (run.tree() == nullptr || run.mistakes() > 0) return std::nullopt;
  return Layout(run).text();
}

}  // namespace budwood::language
