#include "language/parse/blocks.hpp"

#include <algorithm>

#include "BudwoodParser.h"

namespace budwood::language {

namespace {

using P = grammar::BudwoodParser;

const std::vector<Block>& blocks() {
  static const std::vector<std::size_t> of_stage{
      P::AFTER,   P::TAKES,  P::STARTS, P::SEASON, P::UNTIL,  P::ROOM,    P::SPACE,
      P::LASTS,   P::MAY,    P::NO,     P::LOSES,  P::YIELDS, P::DISCARD, P::IN,
      P::MINIMUM, P::DO,     P::KEEP,   P::TAPER,  P::MIST,   P::NOTE,    P::SOURCE,
      P::REQUIRE, P::ADVISE, P::IF,     P::WAIVE};
  static const std::vector<std::size_t> of_change = [] {
    std::vector<std::size_t> out = of_stage;
    out.insert(out.end(), {P::CHANGE, P::DROP});
    return out;
  }();
  static const std::vector<Block> all{
      {P::RuleFile, "a file", {P::PROTOCOL, P::RULES}},
      {P::RuleProtocolBody,
       "a protocol",
       {P::EDITION, P::CROP, P::SOURCE,  P::NOTE,  P::INPUT,  P::LET,     P::TABLE,
        P::SUPPLY,  P::PART, P::OBSERVE, P::STAGE, P::REPEAT, P::REQUIRE, P::ADVISE,
        P::WAIVE,   P::SET,  P::CHANGE,  P::ADD,   P::DROP,   P::RENAME}},
      {P::RuleRepeatBody, "a `repeat` block", {P::STAGE}},
      {P::RuleStageBody, "a stage", of_stage},
      {P::RuleChangeBody, "a `change stage` block", of_change},
      {P::RuleConditionalBody, "an `if` block", {P::WARN, P::DO}},
      {P::RuleRulesBody, "a rule set", {P::EDITION, P::SOURCE, P::NOTE, P::RULE}},
      {P::RuleRuleBody, "a rule", {P::SOURCE, P::NOTE, P::FOR, P::REQUIRE, P::ADVISE}},
      {P::RuleForEachBody, "a `for each` block", {P::FOR, P::REQUIRE, P::ADVISE}},
      {P::RuleWorkBody,
       "a `do` block",
       {P::RATE, P::TIME_, P::SETUP, P::CREW, P::PEOPLE, P::USE, P::TOOL, P::TAGGED, P::CAUTION,
        P::RECORD, P::NOTE, P::NO}},
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
