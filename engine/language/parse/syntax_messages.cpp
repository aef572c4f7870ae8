#include "language/parse/syntax_messages.hpp"

#include <algorithm>
#include <array>

#include "language/parse/statement_forms.hpp"
#include "language/statements.hpp"
#include "language/typed_words.hpp"
#include "units/units.hpp"

namespace budwood::language {

namespace {

using antlr4::Parser;
using antlr4::ParserRuleContext;
using antlr4::Token;
using grammar::BudwoodParser;

std::string keyword_text(const Parser& parser, std::size_t type) {
  const std::string name = parser.getVocabulary().getLiteralName(type);
  return name.size() > 2 ? name.substr(1, name.size() - 2) : std::string{};
}

/// How the token reads in a sentence.
std::string quoted(const Token* token) {
  if (token->getType() == Token::EOF) return "the end of the file";
  return "`" + text::shortened(token->getText()) + "`";
}

std::string expected_word(const Parser& parser, std::size_t type) {
  switch (type) {
    case BudwoodParser::NAME:
    case BudwoodParser::TAIL_WORD:
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
    case BudwoodParser::MAKES:
      return "`makes`";
    case Token::EOF:
      return "the end of the file";
    default:
      return "`" + keyword_text(parser, type) + "`";
  }
}

/// "Expected a, b or c." when that is short enough to help.
std::string expectation(const Parser& parser, const std::vector<std::size_t>& types) {
  constexpr std::size_t helpful = 6;
  std::vector<std::string> words;
  // Where any value may stand, what only rules ask is left out.
  const bool value = holds(types, BudwoodParser::LPAREN);
  for (const std::size_t type : types) {
    const bool of_rules = type == BudwoodParser::SOME || type == BudwoodParser::EVERY ||
                          type == BudwoodParser::COUNT_OF || type == BudwoodParser::NO;
    const bool marked = type >= BudwoodParser::FIGURE_SOURCE && type <= BudwoodParser::PH &&
                        type != BudwoodParser::MAKES;
    if ((value && of_rules) || marked) continue;
    const std::string word = expected_word(parser, type);
    if (std::find(words.begin(), words.end(), word) == words.end()) words.push_back(word);
  }
  if (words.empty() || words.size() > helpful) return {};
  return "Expected " + text::list_words(words, "or") + ".";
}

/// The bit of the block around a rule.
unsigned stands_in(const antlr4::RuleContext* rule) {
  for (; rule != nullptr; rule = static_cast<const antlr4::RuleContext*>(rule->parent)) {
    if (const Block* block = block_of(rule->getRuleIndex())) return block->stands;
  }
  return of_file;
}

/// The form of the statement in which the parser is, by the keyword that started it.
std::string form_advice(Parser& parser) {
  const antlr4::RuleContext* rule = parser.getContext();
  for (; rule != nullptr; rule = static_cast<const antlr4::RuleContext*>(rule->parent)) {
    const Token* first = static_cast<const ParserRuleContext*>(rule)->start;
    const std::size_t index = rule->getRuleIndex();
    std::string_view form;
    if (index == BudwoodParser::RuleWorkHead) {
      form = statement("do").form;
    } else if (first != nullptr && starts_statement(first->getType())) {
      form = statement_form(first->getText(), stands_in(rule));
    }
    if (!form.empty()) return "Write it like: " + std::string(form);
  }
  return {};
}

std::string nearest_keyword(const Parser& parser, const std::string& word) {
  std::vector<std::string> words;
  for (std::size_t type = BudwoodParser::PROTOCOL; type <= BudwoodParser::NOT; ++type) {
    words.push_back(keyword_text(parser, type));
  }
  return text::did_you_mean(word, words);
}

const Token* neighbour(Parser& parser, const Token* token, int step);

/// Whether a token stands where `based on` may: behind the name or the title of a protocol.
bool is_behind_protocol_name(Parser& parser, const Token* token) {
  const Token* before = neighbour(parser, token, -1);
  if (before != nullptr && before->getType() == BudwoodParser::STRING) {
    before = neighbour(parser, before, -1);
  }
  const Token* word = before == nullptr ? nullptr : neighbour(parser, before, -1);
  return word != nullptr && word->getType() == BudwoodParser::PROTOCOL;
}

/// The token so many places from another, comments left out; nullptr beyond the text.
const Token* neighbour(Parser& parser, const Token* token, int step) {
  const auto size = static_cast<ssize_t>(parser.getTokenStream()->size());
  for (auto i = static_cast<ssize_t>(token->getTokenIndex()) + step; i >= 0 && i < size;
       i += step) {
    const Token* one = parser.getTokenStream()->get(static_cast<std::size_t>(i));
    if (one->getChannel() == Token::DEFAULT_CHANNEL) {
      return one->getType() == Token::EOF ? nullptr : one;
    }
  }
  return nullptr;
}

/// The first token of the line in which a token stands.
const Token* first_of_line(Parser& parser, const Token* token) {
  const Token* first = token;
  for (const Token* one = token; one != nullptr && one->getLine() == token->getLine();
       one = neighbour(parser, one, -1)) {
    first = one;
  }
  return first;
}

bool within_work_body(Parser& parser) {
  const antlr4::RuleContext* rule = parser.getContext();
  while (rule != nullptr && block_of(rule->getRuleIndex()) == nullptr) {
    rule = static_cast<const antlr4::RuleContext*>(rule->parent);
  }
  return rule != nullptr && rule->getRuleIndex() == BudwoodParser::RuleWorkBody;
}

/// A point that ends a sentence, stands for a range, or begins a number.
std::string point_advice(const Token* point, const Token* after, bool in_number) {
  if (after != nullptr && after->getText() == ".") return "A range is written with `to`.";
  const bool last = after == nullptr || after->getLine() != point->getLine() ||
                    after->getType() == BudwoodParser::RBRACE;
  if (last) return "A statement ends without a point.";
  return in_number ? "" : "A number starts with a digit, such as 0.5.";
}

/// What people who write numbers another way, or paste from a word processor, meant.
std::string slip_advice(Parser& parser, const Token* token) {
  using Slip = std::pair<std::string_view, std::string_view>;
  static constexpr std::array slips{
      Slip{";", "Take it out; statements need nothing between them."},
      Slip{"'", "Text stands in double quotes: \"...\"."},
      Slip{"\u2018", "Text stands in straight double quotes: \"...\"."},
      Slip{"\u2019", "Text stands in straight double quotes: \"...\"."},
      Slip{"\u201C", "Text stands in straight double quotes: \"...\"."},
      Slip{"\u201D", "Text stands in straight double quotes: \"...\"."},
      Slip{"\u201E", "Text stands in straight double quotes: \"...\"."},
      Slip{"\u2013", "Minus is written -, a range with `to`."},
      Slip{"\u2212", "Minus is written -."},
      Slip{"\u00D7", "Times is written *."},
      Slip{"\u00F7", "A quotient is written /."},
      Slip{"\u2264", "Less than or equal is written <=."},
      Slip{"\u2265", "Greater than or equal is written >=."},
      Slip{"\u2260", "Not equal is written !=."},
  };
  const std::string text = token->getText();
  const Token* before = neighbour(parser, token, -1);
  const Token* after = neighbour(parser, token, 1);
  const bool same_line = before != nullptr && before->getLine() == token->getLine();
  const bool after_number = same_line && before->getType() == BudwoodParser::NUMBER;
  const bool joined = same_line && before->getStopIndex() + 1 == token->getStartIndex();
  if (text == ".") return point_advice(token, after, joined && after_number);
  const auto found = std::find_if(slips.begin(), slips.end(),
                                  [&](const Slip& slip) { return slip.first == text; });
  if (found != slips.end()) return std::string(found->second);
  if (token->getType() == BudwoodParser::DAY && before != nullptr &&
      before->getType() == BudwoodParser::EVERY) {
    return "Write `daily`, or a number of days such as `every 2 days`.";
  }
  if (token->getType() == BudwoodParser::TIME &&
      parser.getContext()->getRuleIndex() == BudwoodParser::RuleTableBody) {
    return "Put a space after the colon, or it reads like a time of day.";
  }
  if (text == "," && after_number && joined) {
    return "Write 0.5 for a half and 1000 for a thousand, without commas.";
  }
  if (text == "-" && joined && is_word(before) && after != nullptr) {
    return "The parts of a name are joined with `_`: `" + before->getText() + "_" +
           after->getText() + "`.";
  }
  if ((text == ":" || text == "=") && same_line && is_keyword(before->getType())) {
    return "Nothing stands between `" + before->getText() + "` and what it says: leave out the `" +
           text + "`.";
  }
  const Token* first = first_of_line(parser, token);
  if (text == "/" && after_number && first->getType() == BudwoodParser::USE) {
    return "Write a share as a decimal, such as 0.5.";
  }
  if (text == "of" && after_number && first->getType() == BudwoodParser::INPUT) {
    return "A count stands behind its share, such as: 76 % seen " + before->getText() + " of " +
           (after != nullptr ? after->getText() : std::string("80"));
  }
  const bool unit_before = same_line && is_word(before) && units::find_unit(before->getText());
  if (token->getType() == BudwoodParser::NUMBER && unit_before && after != nullptr &&
      units::find_unit(after->getText())) {
    return "Write it in one unit, such as `90 min` or `1.5 h`.";
  }
  const bool at_half = same_line && before->getType() == BudwoodParser::AT;
  if (at_half &&
      (token->getType() == BudwoodParser::NIGHT ||
       (token->getType() == BudwoodParser::DAY && first->getType() == BudwoodParser::KEEP))) {
    return "Write `by day` or `by night`.";
  }
  const bool timing = first->getType() == BudwoodParser::DO && !within_work_body(parser);
  if (timing && same_line && before->getType() == BudwoodParser::AFTER) {
    return advice_for_slip(before->getText(), {}, true);
  }
  const bool names_day = token->getType() == BudwoodParser::DAY && after != nullptr &&
                         after->getType() == BudwoodParser::NUMBER;
  if (names_day && first->getType() == BudwoodParser::SPACE)
    return advice_for_slip(after->getText(), text, false);
  return advice_for_slip(text, before != nullptr ? before->getText() : std::string(), timing);
}

/// The form of the statement that is over before the token ahead, by the last keyword before it
/// that starts one.
std::string form_of_line(Parser& parser) {
  const unsigned blocks = stands_in(parser.getContext());
  constexpr ssize_t farthest = 60;
  for (ssize_t back = 1; back < farthest; ++back) {
    const Token* token = parser.getTokenStream()->LT(-back);
    if (token == nullptr) break;
    if (token->getType() == BudwoodParser::LBRACE || token->getType() == BudwoodParser::RBRACE) {
      break;
    }
    const Token* before = parser.getTokenStream()->LT(-back - 1);
    const bool first = before == nullptr || before->getLine() != token->getLine() ||
                       before->getType() == BudwoodParser::LBRACE;
    if (!first || !starts_statement(token->getType())) continue;
    const std::string_view form = statement_form(token->getText(), blocks);
    if (!form.empty()) return "Write it like: " + std::string(form);
  }
  return "The statement before it is complete.";
}

bool is_relation(const Token* token) {
  const std::string text = token->getText();
  return text == "<" || text == "<=" || text == ">" || text == ">=" || text == "=" || text == "!=";
}

}  // namespace

std::vector<std::size_t> expected_types(Parser& parser) {
  std::vector<std::size_t> out;
  for (const ssize_t type : parser.getExpectedTokens().toList()) {
    out.push_back(static_cast<std::size_t>(type));
  }
  return out;
}

bool is_word(const Token* token) {
  const std::size_t type = token->getType();
  return type == BudwoodParser::NAME || type == BudwoodParser::LINE_WORD ||
         type == BudwoodParser::TAIL_WORD;
}

bool SyntaxMessages::unreadable(Parser& parser, const Token* token) {
  if (token->getType() == BudwoodParser::UNCLOSED) {
    diagnostics_.error("unclosed-text", places_.span(token),
                       "This text has no closing quote on its line.",
                       "Close it with \" on the same line.");
    return true;
  }
  if (token->getType() == BudwoodParser::FOREIGN_COMMENT) {
    diagnostics_.error("stray-character", places_.span(token), "This is no comment here.",
                       "A comment starts with # and goes on to the end of its line.");
    return true;
  }
  if (token->getType() == BudwoodParser::STRAY) {
    const std::string advice = slip_advice(parser, token);
    diagnostics_.error("stray-character", places_.span(token),
                       "The character " + quoted(token) + " has no meaning here.",
                       advice.empty() ? "Take it out." : advice);
    return true;
  }
  return false;
}

bool SyntaxMessages::unsupported(const Token* token) {
  const std::string word = token->getText();
  if (!is_later_word(word)) return false;
  diagnostics_.error("unsupported", places_.span(token),
                     "`" + word + "` cannot be acted on by this release of Budwood.",
                     "Take the statement out; nothing of it would reach the plan.");
  return true;
}

void SyntaxMessages::keyword_as_name(const Token* token) {
  diagnostics_.error("keyword-as-name", places_.span(token),
                     quoted(token) + " is a word of the language and cannot be a name.",
                     "Choose another name, such as `my_" + token->getText() + "`.");
}

/// A statement breaks off where its line ends: the mistake is there, not at the word that follows.
bool SyntaxMessages::unfinished(Parser& parser, const Token* token,
                                const std::vector<std::size_t>& expected) {
  const std::size_t type = token->getType();
  const Token* before = parser.getTokenStream()->LT(-1);
  if (before == nullptr || before->getLine() == token->getLine()) return false;
  if (!starts_statement(type) && type != BudwoodParser::LINE_WORD &&
      type != BudwoodParser::RBRACE) {
    return false;
  }
  std::string message = "This statement is not finished.";
  const std::string what = expectation(parser, expected);
  if (!what.empty()) message += " " + what;
  diagnostics_.error("syntax", places_.span(before), message, form_advice(parser));
  return true;
}

void SyntaxMessages::does_not_fit(Parser& parser, const Token* token) {
  if (unreadable(parser, token)) return;
  if (token->getType() == Token::EOF) {
    open_block(parser, token);
    return;
  }
  if (is_word(token) && unsupported(token)) return;
  const std::vector<std::size_t> types = expected_types(parser);
  if (unfinished(parser, token, types)) return;
  std::string advice = slip_advice(parser, token);
  const auto expects = [&](std::size_t type) { return holds(types, type); };
  if (expects(BudwoodParser::TO) && types.size() < 3 &&
      (token->getText() == "-" || token->getText() == "->")) {
    advice = "A range is written with `to`.";
  }
  if (expects(BudwoodParser::TIME)) {
    advice = "Times of day are written 07:00 to 19:00, days `from day 4`.";
  }
  const bool number =
      token->getType() == BudwoodParser::NUMBER || token->getType() == BudwoodParser::COMPOUND;
  if (number && types == std::vector<std::size_t>{BudwoodParser::NAME}) {
    const Token* before = neighbour(parser, token, -1);
    const bool named = before != nullptr && is_keyword(before->getType());
    if (named && advice.empty()) {
      advice = "A name starts with a letter, such as `pot_9`.";
    }
  }
  if (advice.empty() && token->getType() == BudwoodParser::NAME) {
    std::vector<std::string> words;
    for (const std::size_t type : types) {
      if (is_keyword(type)) words.push_back(keyword_text(parser, type));
    }
    // What may be left out is not expected any more once its block is.
    if (is_behind_protocol_name(parser, token)) {
      words.push_back(keyword_text(parser, BudwoodParser::BASED));
    }
    advice = text::did_you_mean(token->getText(), words);
  }
  if (advice.empty()) advice = form_advice(parser);
  const std::string expected = expectation(parser, types);
  std::string message = quoted(token) + " does not fit here.";
  if (advice.empty()) {
    advice = expected;
  } else if (!expected.empty()) {
    message += " " + expected;
  }
  diagnostics_.error("syntax", places_.span(token), message, advice);
}

void SyntaxMessages::left_over(Parser& parser, const Token* token) {
  if (unreadable(parser, token) || unsupported(token)) return;
  // A misspelt keyword after a number was read as its unit, a misspelt one after a name as that.
  const Token* before = parser.getTokenStream()->LT(-1);
  const Token* second = parser.getTokenStream()->LT(-2);
  const bool asked_for = second != nullptr && second->getType() == BudwoodParser::OF;  // `of light`
  if (is_word(before) && !asked_for && !is_word(token) && !units::find_unit(before->getText())) {
    const std::string meant = nearest_keyword(parser, before->getText());
    if (!meant.empty()) {
      diagnostics_.error("syntax", places_.span(before), quoted(before) + " does not fit here.",
                         meant);
      return;
    }
  }
  std::string advice = slip_advice(parser, token);
  if (is_relation(token)) advice = "Join two comparisons with `and`, or write `between`.";
  if (advice.empty() && is_word(token)) advice = nearest_keyword(parser, token->getText());
  if (advice.empty()) advice = form_of_line(parser);
  diagnostics_.error("syntax", places_.span(token), quoted(token) + " does not fit here.", advice);
}

void SyntaxMessages::open_block(Parser& parser, const Token* token) {
  for (const auto* rule = static_cast<const antlr4::RuleContext*>(parser.getContext());
       rule != nullptr; rule = static_cast<const antlr4::RuleContext*>(rule->parent)) {
    const Token* start = static_cast<const ParserRuleContext*>(rule)->start;
    const Block* block = block_of(rule->getRuleIndex());
    if (block == nullptr || start->getType() != BudwoodParser::LBRACE) continue;
    text::Diagnostic d;
    d.code = "unclosed-block";
    d.span = places_.span(token);
    d.message =
        token->getType() == Token::EOF
            ? "The file ends inside " + std::string(block->where) + "; a closing brace is missing."
            : quoted(token) + " starts here, but " + std::string(block->where) +
                  " before it is not closed.";
    d.advice = "Put a } where the block should end.";
    d.related.push_back({places_.span(start), "The block starts here."});
    diagnostics_.add(std::move(d));
    return;
  }
  diagnostics_.error("syntax", places_.span(token), "The file ends in the middle of a statement.",
                     form_advice(parser));
}

void SyntaxMessages::no_statement(Parser& parser, const Token* token, const Block& block) {
  if (unreadable(parser, token) || unsupported(token)) return;
  const text::Span span = places_.span(token);
  const std::string known = advice_for_statement(token->getText(), block.stands);
  if (starts_statement(token->getType())) {
    diagnostics_.error(
        "misplaced", span, quoted(token) + " is not a statement of " + block.where + ".",
        known.empty() ? "Move it to where it belongs; grammar/README.md tells where." : known);
    return;
  }
  if (!is_word(token)) {
    if (token->getType() == BudwoodParser::RBRACE) {
      diagnostics_.error("syntax", span, "This } closes nothing.",
                         "Take it out, or look for a block above that closes too early.");
      return;
    }
    std::string advice = known.empty() ? slip_advice(parser, token) : known;
    if (token->getText() == "-") advice = "A comment starts with #.";
    if (token->getType() == BudwoodParser::NUMBER) {
      advice = "The keyword goes first, such as `people 2`.";
    }
    diagnostics_.error("syntax", span,
                       quoted(token) + " does not fit here: " + block.where +
                           " holds statements, and each starts with its keyword.",
                       advice.empty() ? "Take it out." : advice);
    return;
  }
  std::string advice = known.empty() ? nearest_keyword(parser, token->getText()) : known;
  if (advice.empty()) {
    std::vector<std::string> here;
    for (const std::size_t type : block.statements) {
      here.push_back("`" + keyword_text(parser, type) + "`");
    }
    advice = block.where + std::string(" holds ") + text::list_words(here, "and") + ".";
    advice[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(advice[0])));
  }
  diagnostics_.error("unknown-statement", span,
                     quoted(token) + " is not a statement of " + block.where + ".", advice);
}

void SyntaxMessages::gave_up(const Token* token, std::size_t mistakes) {
  diagnostics_.error("too-many", places_.span(token),
                     "Reading stops here: there are " + std::to_string(mistakes) +
                         " mistakes in this file already.",
                     "Is this a protocol? If so, mend the first mistakes and check again.");
}

}  // namespace budwood::language
