#include "language/editing/expected.hpp"

#include <algorithm>
#include <array>

#include "language/editing/grammar_walk.hpp"
#include "language/editing/name_roles.hpp"
#include "language/parse/blocks.hpp"
#include "language/parse/parser_run.hpp"
#include "language/parse/syntax_messages.hpp"
#include "language/statements.hpp"

namespace budwood::language {

namespace {

using antlr4::Token;
using P = grammar::BudwoodParser;

/// Names that a place makes words: see mark_word_of in parse/parser_run.cpp.
bool is_marked_word(std::size_t type) {
  return type >= P::FIGURE_SOURCE && type <= P::PH;
}

std::string keyword_text(std::size_t type) {
  if (is_marked_word(type)) {
    constexpr std::array words{"source", "batches", "spread", "first",   "overnight",
                               "makes",  "keeps",   "made",   "vessels", "pH"};
    static_assert(P::PH - P::FIGURE_SOURCE + 1 == words.size());
    return words[type - P::FIGURE_SOURCE];
  }
  static antlr4::ANTLRInputStream nothing;
  static const grammar::BudwoodLexer lexer(&nothing);
  const std::string name = lexer.getVocabulary().getLiteralName(type);
  return name.size() > 2 ? name.substr(1, name.size() - 2) : std::string();
}

using WordTokens = std::vector<const Token*>;

/// The blocks that are open at a place and the statement in it. Of what stands before only the
/// heads of these blocks and that statement are walked through: all else is over.
class PlaceFollower {
 public:
  explicit PlaceFollower(const WordTokens& tokens) {
    open_.push_back(walk_.begin());
    at_ = open_.back();
    for (const WordTokens& part : parts_of(tokens)) {
      for (const Token* token : part) take(token);
    }
  }

  const GrammarWalk::Places& places() const { return lost_ ? open_.back() : at_; }
  GrammarWalk& walk() { return walk_; }
  const Token* statement() const { return statement_; }
  const Token* subject() const { return subject_; }
  const Token* before() const { return before_; }
  /// Whether a token that may come next begins another statement of the block.
  bool begins(const GrammarWalk::Next& next) { return walk_.next(open_.back()).contains(next); }

 private:
  /// For each open block its head, from the beginning of its statement to its brace; then the last
  /// statement.
  static std::vector<WordTokens> parts_of(const WordTokens& tokens) {
    std::vector<WordTokens> parts(1);
    std::size_t line = 0;
    for (const Token* token : tokens) {
      const std::size_t type = token->getType();
      const bool fresh = token->getLine() != line;
      line = token->getLine();
      if (type == P::RBRACE) {
        if (parts.size() > 1) parts.pop_back();
        parts.back().clear();
        continue;
      }
      if (fresh && starts_statement(type)) parts.back().clear();
      parts.back().push_back(token);
      if (type == P::LBRACE) parts.emplace_back();
    }
    return parts;
  }

  void take(const Token* token) {
    const std::size_t type = token->getType();
    if (type == P::LBRACE) {
      brace();
      return;
    }
    GrammarWalk::Places on = walk_.after(at_, type);
    const bool starts = starts_statement(type) && begins_statement(type, on.empty());
    if (on.empty() && starts) on = restart(type);
    if (starts) {
      statement_ = token;
      subject_ = nullptr;
    } else if (subject_ == nullptr && statement_ != nullptr && type == P::NAME) {
      subject_ = token;
    }
    lost_ = on.empty();
    if (!lost_) at_ = std::move(on);
    before_ = token;
  }

  /// Whether a keyword starts a statement and does not go on with the one before it.
  bool begins_statement(std::size_t type, bool does_not_fit) {
    if (does_not_fit || before_ == nullptr) return true;
    const std::set<GrammarWalk::Next> fresh = walk_.next(open_.back());
    for (const GrammarWalk::Next& next : walk_.next(at_)) {
      if (next.type == type && !fresh.contains(next)) return false;
    }
    return true;
  }

  /// From the beginning of a statement in the innermost block that knows this word: a brace may be
  /// missing.
  GrammarWalk::Places restart(std::size_t type) {
    for (std::size_t depth = open_.size(); depth-- > 0;) {
      GrammarWalk::Places on = walk_.after(open_[depth], type);
      if (on.empty()) continue;
      open_.resize(depth + 1);
      return on;
    }
    return {};
  }

  void brace() {
    GrammarWalk::Places on = walk_.after(at_, P::LBRACE);
    // The block of what cannot be understood is like the one around it.
    if (on.empty() || lost_) on = open_.back();
    open_.push_back(on);
    at_ = std::move(on);
    lost_ = false;
    statement_ = subject_ = before_ = nullptr;
  }

  GrammarWalk walk_;
  std::vector<GrammarWalk::Places> open_;  ///< at the beginning of each open block
  GrammarWalk::Places at_;
  bool lost_ = false;
  const Token* statement_ = nullptr;
  const Token* subject_ = nullptr;
  const Token* before_ = nullptr;
};

void add_once(std::vector<NameKind>& kinds, NameKind kind) {
  if (std::find(kinds.begin(), kinds.end(), kind) == kinds.end()) kinds.push_back(kind);
}

/// The statements of a block of which a word is the first.
void add_statements(unsigned blocks, std::size_t type, Expected& out) {
  const std::string word = keyword_text(type);
  for (const Statement& one : statements) {
    if ((one.blocks & blocks) != 0 && first_word(one) == word) {
      out.statements.push_back({one.words, one.form});
    }
  }
}

/// Parts of the day, as they follow `in` in the head of a work.
constexpr std::array day_times{"the morning", "the afternoon", "the evening"};

void add(const GrammarWalk::Next& next, std::size_t before, unsigned block, bool at_beginning,
         Expected& out) {
  if (next.type == P::NUMBER) out.number = true;
  if (next.type == P::STRING) out.text = true;
  if (next.type == P::NAME && next.rule == P::RuleHour) {
    if (before == P::IN) out.words.insert(out.words.end(), day_times.begin(), day_times.end());
    return;
  }
  if (next.type == P::NAME || next.type == P::TAIL_WORD) {
    const NameRole role = next.rule == P::RuleName ? role_of_name(next.around, before)
                                                   : role_of_bare_name(next.rule, before);
    if (!role.declares && role.kind != NameKind::other) add_once(out.names, role.kind);
    return;
  }
  if (!is_keyword(next.type) && !is_marked_word(next.type)) return;
  if (next.rule == P::RuleMember || next.rule == P::RuleUnit) return;  // told with the names
  if (at_beginning) {
    add_statements(block, next.type, out);
  } else if (const std::string word = keyword_text(next.type); !word.empty()) {
    const bool known = std::find(out.words.begin(), out.words.end(), word) != out.words.end();
    if (!known) out.words.push_back(word);
  }
}

/// The blocks in which the walk may be, as bits, and what the innermost is called.
unsigned block_at(const GrammarWalk::Places& places, std::string& where) {
  unsigned bits = 0;
  for (const GrammarWalk::At& at : places) {
    const Block* block = block_of(at.state->ruleIndex);
    for (const auto* frame = at.frame; block == nullptr && frame != nullptr;
         frame = frame->around) {
      block = block_of(frame->follow->ruleIndex);
    }
    if (block == nullptr) block = block_of(P::RuleFile);
    if (bits == 0) where = block->where;
    bits |= block->stands;
  }
  return bits;
}

}  // namespace

namespace {

/// The words in front of the one that is being typed; says where that begins, or that the place is
/// in quotes or in a comment.
WordTokens tokens_before(TokenRun& run, std::uint32_t offset, Expected& out) {
  WordTokens tokens;
  for (const Token* token : run.all()) {
    const text::Span span = run.places().span(token);
    const std::size_t type = token->getType();
    if (type == Token::EOF || span.begin >= offset) break;
    const bool comment = token->getChannel() != Token::DEFAULT_CHANNEL;
    const bool open_text = comment || type == P::UNCLOSED;
    if ((open_text && span.end >= offset) || (type == P::STRING && span.end > offset)) {
      out.inside_text = true;
      break;
    }
    const bool word = is_word(token) || is_keyword(type);
    if (word && span.end >= offset) {
      out.word = span;
      break;
    }
    if (!comment) tokens.push_back(token);
  }
  return tokens;
}

/// Whether a statement may begin: on a line of its own, behind a brace, in a block on this line.
bool may_begin(const text::Source& source, std::uint32_t offset, const Token* before,
               const WordTokens& tokens) {
  const std::size_t line = source.place(offset).line;
  if (before == nullptr || before->getLine() != line) return true;
  return std::any_of(tokens.begin(), tokens.end(), [&](const Token* token) {
    return token->getLine() == line && token->getType() == P::LBRACE;
  });
}

}  // namespace

Expected expected_at(const text::Source& source, std::uint32_t offset) {
  Expected out;
  out.word = {&source, offset, offset};
  TokenRun run(source);
  const WordTokens tokens = tokens_before(run, offset, out);
  if (out.inside_text) return out;
  PlaceFollower follower(tokens);
  const Token* before = follower.before();
  const unsigned block = block_at(follower.places(), out.block);
  const bool fresh = may_begin(source, out.word.begin, before, tokens);
  const std::size_t type_before = before == nullptr ? Token::EOF : before->getType();
  for (const GrammarWalk::Next& next : follower.walk().next(follower.places())) {
    const bool begins = follower.begins(next);
    if (!begins || fresh) add(next, type_before, block, begins, out);
  }
  if (tokens.size() > 1 && type_before != Token::EOF && before->getText() == ".") {
    out.property_of = tokens[tokens.size() - 2]->getText();
  }
  if (follower.statement() != nullptr) {
    out.statement = follower.statement()->getText();
    out.statement_begin = run.places().span(follower.statement()).begin;
    if (follower.subject() != nullptr) out.subject = follower.subject()->getText();
  }
  return out;
}

std::vector<ExpectedStatement> statements_beginning(std::string_view word) {
  std::vector<ExpectedStatement> out;
  for (const Statement& one : statements) {
    if (first_word(one) == word) out.push_back({one.words, one.form});
  }
  return out;
}

std::vector<std::string> keywords() {
  std::vector<std::string> out;
  for (std::size_t type = P::PROTOCOL; type <= P::NOT; ++type) out.push_back(keyword_text(type));
  return out;
}

}  // namespace budwood::language
