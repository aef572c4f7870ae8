#include "language/editing/written.hpp"

#include <algorithm>
#include <cstdlib>

#include "language/editing/name_roles.hpp"
#include "language/parse/blocks.hpp"
#include "language/parse/parser_run.hpp"

namespace budwood::language {

namespace {

using antlr4::ParserRuleContext;
using antlr4::Token;
using P = grammar::BudwoodParser;

WrittenWord::Kind word_kind(const Token* token) {
  using Kind = WrittenWord::Kind;
  const std::size_t type = token->getType();
  if (is_keyword(type) || type == P::COUNT_OF) return Kind::keyword;
  switch (type) {
    case P::NAME:
    case P::LINE_WORD:
    case P::TAIL_WORD:
      return Kind::name;
    case P::NUMBER:
    case P::COMPOUND:
      return Kind::number;
    case P::STRING:
    case P::UNCLOSED:
      return Kind::text;
    case P::DATE:
      return Kind::date;
    case P::TIME:
      return Kind::time;
    case P::COMMENT:
      return Kind::comment;
    default:
      return Kind::sign;
  }
}

/// The number of an edition; one that is too large is none.
int edition_of(const std::string& digits) {
  return digits.size() > 7 ? 0 : static_cast<int>(std::strtol(digits.c_str(), nullptr, 10));
}

std::string unquoted(std::string_view text) {
  return text.size() < 2 ? std::string() : std::string(text.substr(1, text.size() - 2));
}

/// The kinds of a letter that a name can hold beyond ASCII are bytes from 0x80 on.
bool may_be_in_name(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte >= 0x80U || std::isalnum(byte) != 0 || c == '_';
}

class Looker {
 public:
  explicit Looker(ParserRun& run)
      : run_(run), places_(run.tokens().places()), tokens_(run.tokens().all()) {}

  Written look() {
    words();
    visit(run_.tree(), WrittenName::nobody, 0);
    const auto by_place = [](const auto& a, const auto& b) { return a.span.begin < b.span.begin; };
    std::stable_sort(out_.names.begin(), out_.names.end(), by_place);
    std::stable_sort(out_.items.begin(), out_.items.end(), by_place);
    return std::move(out_);
  }

 private:
  void words() {
    word_at_.resize(tokens_.size());
    before_.resize(tokens_.size(), Token::EOF);
    std::size_t before = Token::EOF;
    for (const Token* token : tokens_) {
      if (token->getType() == Token::EOF) break;
      word_at_[token->getTokenIndex()] = out_.words.size();
      before_[token->getTokenIndex()] = before;
      out_.words.push_back({word_kind(token), NameKind::other, false, places_.span(token)});
      if (token->getChannel() == Token::DEFAULT_CHANNEL) before = token->getType();
    }
  }

  std::size_t before(const Token* token) const { return before_[token->getTokenIndex()]; }

  void visit(ParserRuleContext* rule, std::size_t owner, std::size_t depth) {
    if (rule->start == nullptr) return;
    const std::size_t index = rule->getRuleIndex();
    owner = begin_owner(rule, owner);
    if (begin_item(rule, owner, depth)) ++depth;
    if (block_of(index) != nullptr && index != P::RuleFile) {
      out_.blocks.push_back(places_.span(rule));
    }
    for (antlr4::tree::ParseTree* child : rule->children) {
      if (auto* inner = dynamic_cast<ParserRuleContext*>(child)) {
        visit(inner, owner, depth);
      } else if (auto* leaf = dynamic_cast<antlr4::tree::TerminalNode*>(child)) {
        leaf_of(rule, leaf->getSymbol(), owner);
      }
    }
  }

  void leaf_of(ParserRuleContext* rule, const Token* token, std::size_t owner) {
    const std::size_t type = token->getType();
    if (type == Token::EOF || token->getTokenIndex() >= word_at_.size()) return;
    if (type == P::STRING && before(token) == P::ELSE) message(token, owner);
    const std::size_t index = rule->getRuleIndex();
    // Words of the language are properties too, where they stand behind a point.
    const bool name = type == P::NAME || index == P::RuleMember;
    if (!name) return;
    auto* around = dynamic_cast<ParserRuleContext*>(rule->parent);
    NameRole role = index == P::RuleName && around != nullptr
                        ? role_of_name(around->getRuleIndex(), before(token))
                        : role_of_bare_name(index, before(token));
    if (around != nullptr && around->getRuleIndex() == P::RuleRename) {
      role = role_in_rename(around, role);
    }
    WrittenWord& word = out_.words[word_at_[token->getTokenIndex()]];
    word.name = role.kind;
    word.declares = role.declares;
    if (role.kind == NameKind::unit) word.kind = WrittenWord::Kind::unit;
    if (word.kind == WrittenWord::Kind::keyword) word.kind = WrittenWord::Kind::name;
    const bool bound = role.kind == NameKind::other || role.kind == NameKind::unit;
    if (!bound) out_.names.push_back({role.kind, role.declares, word.span, owner});
  }

  /// `rename stage a to b`: the first name is of the base, the second is a new one of the same
  /// kind.
  static NameRole role_in_rename(ParserRuleContext* rename, NameRole role) {
    auto* one = dynamic_cast<P::RenameContext*>(rename);
    if (role.kind != NameKind::other || one == nullptr || one->renamedKind() == nullptr)
      return role;
    const std::size_t word = one->renamedKind()->start->getType();
    const NameRole named = role_of_name(P::RuleDropped, word);
    return {named.kind, true};
  }

  /// Names in the braces of a message: "It ends on {healing.end}."
  void message(const Token* token, std::size_t owner) {
    const text::Span span = places_.span(token);
    const std::string_view written = text::text_of(span);
    for (std::size_t open = written.find('{'); open != std::string_view::npos;
         open = written.find('{', open + 1)) {
      std::size_t end = open + 1;
      while (end < written.size() && may_be_in_name(written[end])) ++end;
      if (end == open + 1) continue;
      const text::Span name{span.source, span.begin + static_cast<std::uint32_t>(open) + 1,
                            span.begin + static_cast<std::uint32_t>(end)};
      out_.names.push_back({NameKind::value, false, name, owner});
    }
  }

  /// A protocol, variant or rule set that begins with this rule; else the one around it.
  std::size_t begin_owner(ParserRuleContext* rule, std::size_t around) {
    WrittenOwner one;
    P::NameContext* name = nullptr;
    if (auto* protocol = dynamic_cast<P::ProtocolContext*>(rule)) {
      if (protocol->protocolHead() == nullptr) return around;
      name = protocol->protocolHead()->name();
      base(protocol->protocolHead()->base(), one);
      one.edition = edition(protocol->protocolBody());
    } else if (auto* variant = dynamic_cast<P::VariantContext*>(rule)) {
      if (variant->variantHead() == nullptr || around == WrittenName::nobody) return around;
      name = variant->variantHead()->name();
      one.kind = NameKind::variant;
      one.around = around;
      one.base = out_.owners[around].name;
      one.edition = one.base_edition = out_.owners[around].edition;
    } else if (auto* rules = dynamic_cast<P::RulesContext*>(rule)) {
      if (rules->rulesHead() == nullptr) return around;
      name = rules->rulesHead()->name();
      one.kind = NameKind::rules;
    } else {
      return around;
    }
    one.span = places_.span(rule);
    one.name_span = name == nullptr || name->start == nullptr ? one.span : places_.span(name);
    if (name != nullptr) one.name = name->getText();
    out_.owners.push_back(std::move(one));
    return out_.owners.size() - 1;
  }

  static void base(P::BaseContext* written, WrittenOwner& one) {
    if (written == nullptr || written->name() == nullptr) return;
    one.base = written->name()->getText();
    if (written->NUMBER() != nullptr) one.base_edition = edition_of(written->NUMBER()->getText());
  }

  static int edition(P::ProtocolBodyContext* body) {
    if (body == nullptr) return 1;
    for (P::ProtocolItemContext* item : body->protocolItem()) {
      if (item->edition() != nullptr && item->edition()->NUMBER() != nullptr) {
        return edition_of(item->edition()->NUMBER()->getText());
      }
    }
    return 1;
  }

  static WrittenItem::Kind item_kind(std::size_t rule) {
    switch (rule) {
      case P::RuleProtocol:
        return WrittenItem::Kind::protocol;
      case P::RuleVariant:
        return WrittenItem::Kind::variant;
      case P::RuleRules:
        return WrittenItem::Kind::rules;
      case P::RuleOneRule:
        return WrittenItem::Kind::rule;
      case P::RuleStage:
      case P::RuleStageChange:
      case P::RuleAddition:
        return WrittenItem::Kind::stage;
      case P::RuleWork:
        return WrittenItem::Kind::work;
      default:
        return WrittenItem::Kind::declaration;
    }
  }

  /// Whether a rule has a line of its own in the outline.
  bool begin_item(ParserRuleContext* rule, std::size_t owner, std::size_t depth) {
    const std::size_t index = rule->getRuleIndex();
    WrittenItem item;
    item.kind = item_kind(index);
    const bool declaration = index == P::RuleInput || index == P::RuleLet ||
                             index == P::RuleTable || index == P::RuleSupply ||
                             index == P::RulePart || index == P::RuleObserve ||
                             index == P::RuleRecipeHead;
    if (item.kind == WrittenItem::Kind::declaration && !declaration) return false;
    const Token* head = item.kind == WrittenItem::Kind::work ? nullptr : find(rule, P::NAME);
    const Token* title = find(rule, P::STRING);
    if (head == nullptr) head = title;
    if (head == nullptr) return false;
    item.span = places_.span(rule);
    item.head = places_.span(head);
    if (head->getType() == P::NAME) item.name = head->getText();
    if (title != nullptr) item.title = unquoted(text::text_of(places_.span(title)));
    item.depth = depth;
    item.owner = owner;
    out_.items.push_back(std::move(item));
    return true;
  }

  /// The first token of a type in the head of a rule: up to its block.
  const Token* find(const ParserRuleContext* rule, std::size_t type) const {
    if (rule->stop == nullptr) return nullptr;
    for (std::size_t i = rule->start->getTokenIndex(); i <= rule->stop->getTokenIndex(); ++i) {
      if (i >= tokens_.size() || tokens_[i]->getType() == P::LBRACE) return nullptr;
      if (tokens_[i]->getType() == type) return tokens_[i];
    }
    return nullptr;
  }

  ParserRun& run_;
  const TokenPlaces& places_;
  std::vector<Token*> tokens_;
  Written out_;
  std::vector<std::size_t> word_at_;  ///< by token
  std::vector<std::size_t> before_;   ///< by token: the type of the one before, comments left out
};

}  // namespace

Written look_at(const text::Source& source) {
  text::Diagnostics unheard;
  ParserRun run(source, unheard);
  return run.tree() == nullptr ? Written{} : Looker(run).look();
}

}  // namespace budwood::language
