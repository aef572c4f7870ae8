#include "language/parse/blocks.hpp"

#include <algorithm>

#include "BudwoodLexer.h"
#include "BudwoodParser.h"
#include "language/statements.hpp"

namespace budwood::language {

namespace {

using P = grammar::BudwoodParser;

std::size_t token_type(std::string_view word) {
  antlr4::ANTLRInputStream in{std::string(word)};
  grammar::BudwoodLexer lexer(&in);
  return lexer.nextToken()->getType();
}

Block block(std::size_t rule, const char* where, unsigned stands) {
  Block out{rule, where, stands, {}};
  for (const Statement& one : statements) {
    if ((one.blocks & stands) == 0) continue;
    const std::size_t type = token_type(first_word(one));
    if (!holds(out.statements, type)) out.statements.push_back(type);
  }
  return out;
}

const std::vector<Block>& blocks() {
  static const std::vector<Block> all{
      block(P::RuleFile, "a file", of_file),
      block(P::RuleProtocolBody, "a protocol", of_protocol),
      block(P::RuleRepeatBody, "a `repeat` block", of_repeat),
      block(P::RuleStageBody, "a stage", of_stage),
      block(P::RuleChangeBody, "a `change stage` block", of_change),
      block(P::RuleConditionalBody, "an `if` block", of_conditional),
      block(P::RuleWorkBody, "a `do` block", of_work),
      block(P::RuleRulesBody, "a rule set", of_rules),
      block(P::RuleRuleBody, "a rule", of_rule),
      block(P::RuleForEachBody, "a `for each` block", of_for_each),
  };
  return all;
}

}  // namespace

const Block* block_of(std::size_t rule) {
  const auto& all = blocks();
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Block& block) { return block.rule == rule; });
  return found == all.end() ? nullptr : &*found;
}

bool holds(const std::vector<std::size_t>& types, std::size_t type) {
  return std::find(types.begin(), types.end(), type) != types.end();
}

bool is_keyword(std::size_t type) {
  return type >= P::PROTOCOL && type <= P::NOT;
}

bool starts_statement(std::size_t type) {
  static const std::vector<bool> starts = [] {
    std::vector<bool> out(P::NOT + 1, false);
    for (const Block& block : blocks()) {
      for (const std::size_t one : block.statements) out[one] = true;
    }
    return out;
  }();
  return type < starts.size() && starts[type];
}

}  // namespace budwood::language
