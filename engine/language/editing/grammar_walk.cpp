#include "language/editing/grammar_walk.hpp"

#include "BudwoodLexer.h"

namespace budwood::language {

namespace {

using antlr4::atn::ATNState;
using antlr4::atn::RuleTransition;
using antlr4::atn::Transition;
using P = grammar::BudwoodParser;

const antlr4::atn::ATN& automaton() {
  static antlr4::ANTLRInputStream nothing;
  static grammar::BudwoodLexer lexer(&nothing);
  static antlr4::CommonTokenStream tokens(&lexer);
  static const P parser(&tokens);
  return parser.getATN();
}

/// Brackets in brackets deeper than this are no way on: nobody completes there.
constexpr std::size_t most_frames = 400;

std::size_t depth_of(const GrammarWalk::Frame* frame) {
  std::size_t depth = 0;
  for (; frame != nullptr; frame = frame->around) ++depth;
  return depth;
}

}  // namespace

GrammarWalk::GrammarWalk() : atn_(automaton()) {}

const GrammarWalk::Frame* GrammarWalk::frame(ATNState* follow, const Frame* around) {
  const auto [place, fresh] = known_.try_emplace({follow, around}, nullptr);
  if (fresh) place->second = &frames_.emplace_back(Frame{follow, around});
  return place->second;
}

/// Adds a place and all that it leads to without a token.
void GrammarWalk::close(At at, Places& places) {
  std::vector<At> open{at};
  while (!open.empty()) {
    const At one = open.back();
    open.pop_back();
    if (!places.insert(one).second) continue;
    if (one.state->getStateType() == ATNState::RULE_STOP) {
      if (one.frame != nullptr) open.push_back({one.frame->follow, one.frame->around});
      continue;
    }
    for (const Transition* way : one.state->transitions) {
      if (way->getSerializationType() == Transition::RULE) {
        if (depth_of(one.frame) > most_frames) continue;
        const auto* rule = static_cast<const RuleTransition*>(way);
        open.push_back({way->target, frame(rule->followState, one.frame)});
      } else if (way->isEpsilon()) {
        open.push_back({way->target, one.frame});
      }
    }
  }
}

GrammarWalk::Places GrammarWalk::begin() {
  Places out;
  close({atn_.ruleToStartState[P::RuleFile], nullptr}, out);
  return out;
}

GrammarWalk::Places GrammarWalk::after(const Places& places, std::size_t type) {
  Places out;
  for (const At& at : places) {
    for (const Transition* way : at.state->transitions) {
      if (!way->isEpsilon() &&
          way->matches(type, antlr4::Lexer::MIN_CHAR_VALUE, atn_.maxTokenType)) {
        close({way->target, at.frame}, out);
      }
    }
  }
  return out;
}

std::set<GrammarWalk::Next> GrammarWalk::next(const Places& places) {
  std::set<Next> out;
  for (const At& at : places) {
    const std::size_t around =
        at.frame == nullptr ? static_cast<std::size_t>(P::RuleFile) : at.frame->follow->ruleIndex;
    for (const Transition* way : at.state->transitions) {
      if (way->isEpsilon()) continue;
      for (const ssize_t type : way->label().toList()) {
        out.insert({static_cast<std::size_t>(type), at.state->ruleIndex, around});
      }
    }
  }
  return out;
}

}  // namespace budwood::language
