#include "language/parse/entry_reader.hpp"

#include <algorithm>
#include <array>

#include "BudwoodLexer.h"
#include "BudwoodParser.h"
#include "language/parse/syntax_messages.hpp"
#include "language/parse/tree_builder.hpp"

namespace budwood::language {

namespace {

using P = grammar::BudwoodParser;
using Tokens = std::vector<std::unique_ptr<antlr4::Token>>;

constexpr std::size_t largest_entries = 16U << 20U;
constexpr std::size_t longest_entry = 400;  ///< words and numbers

struct EntryWord {
  std::string_view word;
  std::size_t type;
};
constexpr std::array entry_words{
    EntryWord{"done", P::DONE},       EntryWord{"left", P::LEFT},
    EntryWord{"out", P::OUT},         EntryWord{"counted", P::COUNTED},
    EntryWord{"lost", P::LOST},       EntryWord{"started", P::STARTED},
    EntryWord{"ended", P::ENDED},     EntryWord{"stopped", P::STOPPED},
    EntryWord{"lesson", P::LESSON},   EntryWord{"stock", P::STOCK},
    EntryWord{"came", P::CAME},       EntryWord{"thrown", P::THROWN},
    EntryWord{"correct", P::CORRECT}, EntryWord{"withdraw", P::WITHDRAW},
    EntryWord{"used", P::USED},       EntryWord{"plants", P::PLANTS},
    EntryWord{"plant", P::PLANTS},    EntryWord{"tray", P::TRAY},
    EntryWord{"today", P::TODAY},     EntryWord{"hand", P::HAND},
    EntryWord{"grade", P::GRADE},
};

/// Words of protocols that entries use too.
constexpr std::array shared_words{P::ON,   P::BY, P::OF,  P::SEEN, P::WITH,
                                  P::NOTE, P::IN, P::NOT, P::AND};

/// The words with which what happened is told, as they are typed.
const std::vector<std::string>& happenings() {
  static const std::vector<std::string> all = {"done",    "left out", "seen",    "not seen",
                                               "counted", "lost",     "started", "ended",
                                               "stopped", "note",     "lesson"};
  return all;
}

antlr4::CommonToken* own(const std::unique_ptr<antlr4::Token>& token) {
  return static_cast<antlr4::CommonToken*>(token.get());
}

/// The tokens of one line, as they are meant in an entry.
class LineTokens {
 public:
  explicit LineTokens(const std::vector<antlr4::Token*>& line) : line_(line) {}

  Tokens take() {
    if (is(0, "correct") || is(0, "withdraw")) {
      word();
      place();
      if (at_ < line_.size() && line_[at_]->getType() == P::WITH) {
        word();
        if (!is(at_, "stock")) place();
      }
    } else if (!is(0, "stock")) {
      place();
    }
    while (at_ < line_.size()) word();
    return std::move(out_);
  }

 private:
  bool touches(std::size_t place) const {
    return place > 0 && place < line_.size() &&
           line_[place - 1]->getStopIndex() + 1 == line_[place]->getStartIndex();
  }
  /// Whether a word stands by itself there.
  bool is(std::size_t place, std::string_view word) const {
    return place < line_.size() && line_[place]->getText() == word && !touches(place + 1);
  }

  void word() {
    auto token = std::make_unique<antlr4::CommonToken>(line_[at_++]);
    const std::size_t type = token->getType();
    const bool shared =
        std::find(shared_words.begin(), shared_words.end(), type) != shared_words.end();
    if (is_keyword(type) && !shared) token->setType(P::NAME);
    if (token->getType() == P::NAME) {
      const std::string text = token->getText();
      const auto found = std::find_if(entry_words.begin(), entry_words.end(),
                                      [&](const EntryWord& one) { return one.word == text; });
      if (found != entry_words.end()) token->setType(found->type);
    }
    out_.push_back(std::move(token));
  }

  /// All that stands together without a space is one place: `BM27-1/grafting/2/1`.
  void place() {
    if (at_ >= line_.size() || line_[at_]->getText() == ",") return;
    auto token = std::make_unique<antlr4::CommonToken>(line_[at_]);
    std::string text = token->getText();
    const bool quoted = token->getType() == P::STRING || token->getType() == P::UNCLOSED;
    for (++at_; !quoted && touches(at_) && line_[at_]->getText() != ","; ++at_) {
      text += line_[at_]->getText();
      token->setStopIndex(line_[at_]->getStopIndex());
    }
    if (!quoted) {
      token->setText(text);
      token->setType(P::PLACE);
    }
    out_.push_back(std::move(token));
  }

  const std::vector<antlr4::Token*>& line_;
  std::size_t at_ = 0;
  Tokens out_;
};

/// Reports the first mistake of a line and leaves it: nothing of a line with a mistake is noted.
class EntryErrors : public antlr4::DefaultErrorStrategy {
 public:
  struct LeftLine {};

  EntryErrors(const TokenPlaces& places, text::Diagnostics& diagnostics)
      : places_(places), diagnostics_(diagnostics) {}

  void reportError(antlr4::Parser* parser, const antlr4::RecognitionException& e) override {
    report(*parser, e.getOffendingToken());
  }
  void recover(antlr4::Parser* /*parser*/, std::exception_ptr /*e*/) override { throw LeftLine{}; }
  antlr4::Token* recoverInline(antlr4::Parser* parser) override {
    report(*parser, parser->getCurrentToken());
    throw LeftLine{};
  }
  void sync(antlr4::Parser* /*parser*/) override {}

 private:
  void report(antlr4::Parser& parser, const antlr4::Token* token);
  std::string advice(antlr4::Parser& parser, const antlr4::Token* token,
                     const std::vector<std::size_t>& expected) const;

  const TokenPlaces& places_;
  text::Diagnostics& diagnostics_;
};

/// How a piece of an entry is written, by what could come next.
std::string entry_form(const std::vector<std::size_t>& expected, std::size_t before) {
  if (before == P::ON) return "Write the day like `on 2027-04-08`.";
  if (before == P::BY) return "Write the name like `by Ana`, or in quotes: `by \"Ana-Maria\"`.";
  if (before == P::COUNTED || before == P::LOST) {
    return "Write how many: `480 plants`, or `61 of 80`.";
  }
  if (before == P::USED) return "Write what was used like `used 30 m tape`.";
  if (before == P::LEFT || before == P::THROWN) return "Write `out` behind it.";
  if (holds(expected, P::ON)) {
    return "An entry goes on with the day (`on 2027-04-08`), who (`by Ana`), plants (`291 "
           "plants`), "
           "time (`6 h 10 min`), `used 30 m tape`, `in tray 7` or text in quotes.";
  }
  return {};
}

std::string EntryErrors::advice(antlr4::Parser& parser, const antlr4::Token* token,
                                const std::vector<std::size_t>& expected) const {
  const antlr4::Token* before = parser.getTokenStream()->LT(-1);
  if (holds(expected, P::DONE) && holds(expected, P::SEEN)) {
    const std::string meant = text::did_you_mean(token->getText(), happenings());
    if (!meant.empty()) return meant;
    std::vector<std::string> words;
    for (const std::string& word : happenings()) words.push_back("`" + word + "`");
    return "Behind the batch stands what happened: " + text::list_words(words, "or") + ".";
  }
  return entry_form(expected, before == nullptr ? 0 : before->getType());
}

void EntryErrors::report(antlr4::Parser& parser, const antlr4::Token* token) {
  const std::vector<std::size_t> expected = expected_types(parser);
  if (token->getType() == antlr4::Token::EOF) {
    const antlr4::Token* before = parser.getTokenStream()->LT(-1);
    if (before != nullptr) {
      diagnostics_.error("syntax", places_.span(before), "This entry is not finished.",
                         advice(parser, token, expected));
    }
    return;
  }
  if (SyntaxMessages(places_, diagnostics_).unreadable(parser, token)) return;
  diagnostics_.error("syntax", places_.span(token),
                     "`" + text::shortened(token->getText()) + "` does not fit here.",
                     advice(parser, token, expected));
}

/// Reads the tokens of one line.
void read_line(Tokens tokens, const TokenPlaces& places, text::Diagnostics& diagnostics,
               std::vector<syntax::EntryLine>& out) {
  if (tokens.size() > longest_entry) {
    diagnostics.error("too-long", places.span(own(tokens[longest_entry])),
                      "This entry is longer than Budwood reads.", "Write it as several entries.");
    return;
  }
  antlr4::ListTokenSource source(std::move(tokens));
  antlr4::CommonTokenStream stream(&source);
  P parser(&stream);
  parser.removeErrorListeners();
  parser.setErrorHandler(std::make_shared<EntryErrors>(places, diagnostics));
  parser.getInterpreter<antlr4::atn::ParserATNSimulator>()->setPredictionMode(
      antlr4::atn::PredictionMode::SLL);
  try {
    const std::size_t before = diagnostics.count(text::Severity::error);
    P::EntryContext* tree = parser.entry();
    syntax::EntryLine line = TreeBuilder(places, diagnostics, false).entry(tree);
    if (diagnostics.count(text::Severity::error) == before) out.push_back(std::move(line));
  } catch (const EntryErrors::LeftLine&) {
    // told already
  }
}

}  // namespace

std::vector<syntax::EntryLine> read_entries(const text::Source& source,
                                            text::Diagnostics& diagnostics) {
  std::vector<syntax::EntryLine> out;
  if (source.text().size() > largest_entries) {
    diagnostics.error("large-file", {&source, 0, 0}, "These entries are more than 16 MB.",
                      "Note them in several parts.");
    return out;
  }
  if (!text::is_text(source, diagnostics)) return out;
  const TokenPlaces places(source);
  antlr4::ANTLRInputStream input{std::string(source.text())};
  grammar::BudwoodLexer lexer(&input);
  lexer.removeErrorListeners();
  antlr4::CommonTokenStream all(&lexer);
  all.fill();
  std::vector<antlr4::Token*> line;
  for (antlr4::Token* token : all.getTokens()) {
    const bool over = token->getType() == antlr4::Token::EOF ||
                      (!line.empty() && token->getLine() > line.front()->getLine());
    if (over && !line.empty()) {
      read_line(LineTokens(line).take(), places, diagnostics, out);
      line.clear();
    }
    if (token->getChannel() == antlr4::Token::DEFAULT_CHANNEL) line.push_back(token);
  }
  return out;
}

}  // namespace budwood::language
