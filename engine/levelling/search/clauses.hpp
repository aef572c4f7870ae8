/// What has been learnt: clauses of facts, of each of which at least one must hold. Used inside
/// this module only.
#pragma once

#include <cstdint>
#include <vector>

#include "levelling/search/bounds.hpp"

namespace budwood::levelling {

using ClauseId = std::uint32_t;

/// Clauses with two watched facts each (Moskewicz, Madigan, Zhao, Zhang & Malik 2001). A watch
/// waits on the side whose rise makes its fact fail and knows the bound at which it does.
class Clauses {
 public:
  explicit Clauses(std::size_t variables) : watches_(2 * variables) {}

  /// Two facts or more; the first two are watched. `levels` tells how many levels of the search it
  /// spans: few is good (Audemard & Simon 2009).
  ClauseId add(const std::vector<Fact>& facts, std::uint32_t levels);
  /// What follows from the rise of a side from `old` to `now`. False when a bound failed.
  bool propagate(Bounds& bounds, SideId side, Value old, Value now);
  /// The facts that fail and so make the clause push `except`.
  void explain(ClauseId clause, Fact pushed, std::vector<Fact>& facts) const;

  std::size_t size() const { return clauses_.size(); }
  void used(ClauseId clause);
  /// Forgets the less useful half. Only at the root, where no reason is needed again.
  void reduce();

 private:
  struct Clause {
    std::uint32_t first = 0;
    std::uint32_t size = 0;
    std::uint32_t levels = 0;
    float activity = 0;
  };
  struct Watch {
    Value bound = 0;  ///< of the side: the watched fact fails from here on
    ClauseId clause = 0;
    Fact other;  ///< a fact of the clause; while it holds there is nothing to do
  };

  void watch(Fact fact, ClauseId clause, Fact other);
  bool visit(Bounds& bounds, Watch& watch, SideId side, bool& moved);

  std::vector<Clause> clauses_;
  std::vector<Fact> facts_;
  std::vector<std::vector<Watch>> watches_;  ///< by side
  float step_ = 1;
};

}  // namespace budwood::levelling
