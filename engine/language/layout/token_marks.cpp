#include "language/layout/token_marks.hpp"

namespace budwood::language {

namespace {

using antlr4::ParserRuleContext;
using antlr4::Token;
using P = grammar::BudwoodParser;

bool is_block(std::size_t rule) {
  switch (rule) {
    case P::RuleProtocolBody:
    case P::RuleTableBody:
    case P::RuleRepeatBody:
    case P::RuleChangeBody:
    case P::RuleStageBody:
    case P::RuleConditionalBody:
    case P::RuleWorkBody:
    case P::RuleRulesBody:
    case P::RuleRuleBody:
    case P::RuleForEachBody:
      return true;
    default:
      return false;
  }
}

/// Blocks that readers look for, so that they stand apart.
bool stands_apart(std::size_t rule) {
  return rule == P::RuleStageBody || rule == P::RuleRepeatBody || rule == P::RuleChangeBody ||
         rule == P::RuleRuleBody || rule == P::RuleProtocolBody || rule == P::RuleRulesBody;
}

/// Which column of its declaration a part begins.
Column column_of(std::size_t statement, antlr4::tree::ParseTree* part, std::size_t place) {
  if (statement == P::RuleSupply) {
    const auto* rule = dynamic_cast<const ParserRuleContext*>(part);
    if (rule != nullptr && rule->getRuleIndex() == P::RuleSupplyDetail) return Column::details;
  }
  auto* leaf = dynamic_cast<antlr4::tree::TerminalNode*>(part);
  if (leaf == nullptr || place == 0) return Column::none;
  switch (leaf->getSymbol()->getType()) {
    case P::STRING:
      if (statement == P::RuleLet) return Column::none;
      return statement == P::RuleObserve ? Column::meaning : Column::title;
    case P::IN:
      return Column::unit;
    case P::FROM:
      return Column::range;
    default:
      return leaf->getText() == "=" ? Column::value : Column::none;
  }
}

bool in_columns(std::size_t statement) {
  return statement == P::RuleInput || statement == P::RuleLet || statement == P::RuleSupply ||
         statement == P::RulePart || statement == P::RuleObserve;
}

class Marker {
 public:
  explicit Marker(ParserRun& run) : run_(run), marks_(run.tokens().stream().size()) {}

  std::vector<TokenMark> mark() {
    visit(run_.tree());
    return std::move(marks_);
  }

 private:
  TokenMark& mark_of(const Token* token) { return marks_[token->getTokenIndex()]; }

  /// The statement behind the rule that says which statements a block may hold.
  static std::size_t statement_of(ParserRuleContext* item) {
    const bool choice = item->children.size() == 1;
    auto* inner = choice ? dynamic_cast<ParserRuleContext*>(item->children.front()) : nullptr;
    const bool named = inner != nullptr && inner->getRuleIndex() != P::RuleName;
    return named ? inner->getRuleIndex() : item->getRuleIndex();
  }

  void visit(ParserRuleContext* rule) {
    const std::size_t index = rule->getRuleIndex();
    const bool block = is_block(index);
    if (block) mark_braces(rule);
    for (std::size_t i = 0; i < rule->children.size(); ++i) {
      antlr4::tree::ParseTree* child = rule->children[i];
      if (auto* leaf = dynamic_cast<antlr4::tree::TerminalNode*>(child)) {
        TokenMark& mark = mark_of(leaf->getSymbol());
        mark.rule = index;
        mark.calls = leaf->getSymbol()->getType() == P::LPAREN && i > 0 &&
                     (index == P::RulePrimary || index == P::RuleTableHead) &&
                     dynamic_cast<ParserRuleContext*>(rule->children[i - 1]) != nullptr;
        if (in_columns(index)) mark.column = column_of(index, child, i);
        continue;
      }
      auto* inner = dynamic_cast<ParserRuleContext*>(child);
      visit(inner);
      if (in_columns(index) && column_of(index, child, i) != Column::none) {
        mark_of(inner->start).column = column_of(index, child, i);
      }
      if (block || index == P::RuleFile) {
        mark_of(inner->start).begins_item = true;
        mark_of(inner->start).item = statement_of(inner);
        mark_of(inner->start).wide = mark_of(inner->stop).closes && mark_of(inner->stop).wide;
      }
    }
  }

  void mark_braces(ParserRuleContext* block) {
    const bool one_line = block->start->getLine() == block->stop->getLine();
    const std::size_t rule = block->getRuleIndex();
    const bool whole =
        rule == P::RuleRulesBody || (rule == P::RuleProtocolBody &&
                                     dynamic_cast<P::ProtocolContext*>(block->parent) != nullptr);
    for (const Token* brace : {block->start, block->stop}) {
      TokenMark& mark = mark_of(brace);
      mark.opens = brace == block->start;
      mark.closes = !mark.opens;
      mark.flat = one_line && !whole;
      mark.wide = !mark.flat && stands_apart(rule);
    }
  }

  ParserRun& run_;
  std::vector<TokenMark> marks_;
};

}  // namespace

std::vector<TokenMark> mark_tokens(ParserRun& run) {
  return Marker(run).mark();
}

}  // namespace budwood::language
