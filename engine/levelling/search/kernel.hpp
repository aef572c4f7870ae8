/// A search that learns from its conflicts, without a strategy of its own. Used inside this module
/// only.
///
/// A fact is a side and a value, not a numbered literal: bounds need no encoding, and allowed
/// days are skipped inside the trail.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "levelling/rules/cost_rule.hpp"
#include "levelling/rules/length_rule.hpp"
#include "levelling/rules/room_rule.hpp"
#include "levelling/search/activity.hpp"
#include "levelling/search/arcs.hpp"
#include "levelling/search/bounds.hpp"
#include "levelling/search/clauses.hpp"
#include "levelling/search/model.hpp"

namespace budwood::levelling {

/// Propagates to a fixed point and turns a conflict into a clause: lazy clause generation
/// (Ohrimenko, Stuckey & Codish 2009).
class Kernel {
 public:
  /// Borrows the model.
  explicit Kernel(const Model& model);

  /// What follows from the bounds of the model. False when nothing is possible.
  bool start();
  /// Opens a level and makes a fact hold that is neither decided nor refuted.
  void decide(Fact fact);
  /// Makes a fact hold for good. Only at the root. False when nothing is possible then.
  bool require(Fact fact);
  /// Everything that follows. False when a bound failed; then `learn` is due.
  bool propagate();
  /// Learns a clause from the failure, goes back as far as it says and makes its fact hold. False
  /// when the failure does not rest on any decision.
  bool learn();
  void back_to(std::uint32_t level);

  const Bounds& bounds() const { return bounds_; }
  Activity& activity() { return activity_; }
  Clauses& clauses() { return clauses_; }
  std::uint64_t steps() const { return steps_; }

 private:
  void explain(Reason reason, Fact pushed, Position before, std::vector<Fact>& facts) const;
  void take_failure();
  void note(Fact fact, std::uint32_t current);
  Position resolve();
  void thin_out();
  bool follows(Fact fact, int depth);
  std::vector<Fact> build_clause(Position last, std::uint32_t& back, std::uint32_t& levels);
  void clear_notes();

  Bounds bounds_;
  Arcs arcs_;
  LengthRule lengths_;
  RoomRule rooms_;
  CostRule costs_;
  Clauses clauses_;
  Activity activity_;
  Position next_ = 0;  ///< the entry to propagate next
  std::uint64_t steps_ = 0;

  // While learning: of each entry the value that the clause needs of it.
  static constexpr Value not_needed = INT32_MIN;
  std::vector<Value> needed_;
  std::vector<Value> implied_;     ///< by entry: follows from the others up to this value
  std::vector<Value> unimplied_;   ///< by entry: does not from this value on
  std::vector<Position> touched_;  ///< entries with any of the three
  std::vector<Position> kept_;     ///< needed entries below the current level
  std::vector<char> level_kept_;   ///< by level: whether `kept_` has an entry of it
  std::uint32_t open_ = 0;         ///< needed entries of the current level
  std::vector<Fact> failure_;
  std::vector<Fact> facts_;
};

}  // namespace budwood::levelling
