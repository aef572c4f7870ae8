/// Private to this module.
#pragma once

#include <deque>
#include <map>
#include <set>
#include <vector>

#include "BudwoodParser.h"

namespace budwood::language {

/// Follows tokens through the grammar, all ways at once: the automaton that the parser rests on,
/// run as what it is, without deciding anything.
class GrammarWalk {
 public:
  GrammarWalk();

  /// Where it goes on when a rule is over.
  struct Frame {
    antlr4::atn::ATNState* follow = nullptr;
    const Frame* around = nullptr;
  };
  /// One of the places at which it may be.
  struct At {
    antlr4::atn::ATNState* state = nullptr;
    const Frame* frame = nullptr;
    friend auto operator<=>(const At&, const At&) = default;
  };
  using Places = std::set<At>;

  /// At the beginning of a file.
  Places begin();
  /// Where a token leads; nowhere when it does not fit.
  Places after(const Places& places, std::size_t token_type);

  /// A token that may come next: its type, the rule in which it stands and the one around that.
  struct Next {
    std::size_t type = 0;
    std::size_t rule = 0;
    std::size_t around = 0;
    friend auto operator<=>(const Next&, const Next&) = default;
  };
  std::set<Next> next(const Places& places);

 private:
  void close(At at, Places& places);
  const Frame* frame(antlr4::atn::ATNState* follow, const Frame* around);

  const antlr4::atn::ATN& atn_;
  std::deque<Frame> frames_;
  std::map<std::pair<antlr4::atn::ATNState*, const Frame*>, const Frame*> known_;
};

}  // namespace budwood::language
