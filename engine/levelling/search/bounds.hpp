/// The bounds of whole-number variables, the order in which they came about, and why. Used inside
/// this module only.
#pragma once

#include <cstdint>
#include <vector>

#include "levelling/problem.hpp"

namespace budwood::levelling {

using VariableId = std::uint32_t;
/// One side of a variable, seen so that its bound only ever rises: of x, the side 2x is x itself
/// and 2x + 1 is -x. Lower and upper bounds so share all code.
using SideId = std::uint32_t;
using Value = std::int32_t;
/// Where a bound stands in the order in which bounds came about.
using Position = std::uint32_t;

/// "This side is at least `value`": x >= value, or -x >= value.
struct Fact {
  SideId side = 0;
  Value value = 0;
  friend bool operator==(const Fact&, const Fact&) = default;
};

constexpr SideId lower_side(VariableId x) {
  return 2 * x;
}
constexpr SideId upper_side(VariableId x) {
  return 2 * x + 1;
}
constexpr Fact at_least(VariableId x, Value value) {
  return {lower_side(x), value};
}
constexpr Fact at_most(VariableId x, Value value) {
  return {upper_side(x), -value};
}
constexpr Fact opposite(Fact fact) {
  return {fact.side ^ 1U, 1 - fact.value};
}

/// What a bound rests on. `index` is a clause, an arc, a length, a cost rule or a place among the
/// stored reasons.
struct Reason {
  enum class Kind : std::uint8_t { none, decision, clause, arc, guard, length, cost, stored };
  Kind kind = Kind::none;
  std::uint32_t index = 0;
};

/// A variable before anything is propagated: `low` to `high`, with `allowed` only those days.
struct Variable {
  Value low = 0;
  Value high = 0;
  const calendar::DaySet* allowed = nullptr;
};

/// The trail of a search that learns from conflicts: every rise of a side with its reason.
///
/// There are no literals of their own for bounds: a fact is a side and a value, and clauses hold
/// facts. So the order of the bounds of one variable needs no clauses (Ohrimenko, Stuckey & Codish
/// 2009 make such literals when they are needed; the effect is the same).
class Bounds {
 public:
  struct Entry {
    SideId side = 0;
    Value value = 0;
    Position previous = 0;  ///< the entry of the same side before this one
    std::uint32_t level = 0;
    Reason reason;
  };

  explicit Bounds(const std::vector<Variable>& variables);

  Value low(SideId side) const { return low_[side]; }
  Value least(VariableId x) const { return low_[lower_side(x)]; }
  Value most(VariableId x) const { return -low_[upper_side(x)]; }
  bool fixed(VariableId x) const { return least(x) == most(x); }
  bool holds(Fact fact) const { return low_[fact.side] >= fact.value; }
  bool fails(Fact fact) const { return low_[fact.side ^ 1U] >= 1 - fact.value; }
  std::size_t variable_count() const { return low_.size() / 2; }

  /// Raises a side, on to the next allowed day. False when that goes beyond the other side; then
  /// `failure` holds the fact and its reason.
  bool push(Fact fact, Reason reason);
  struct Failure {
    Fact fact;
    Reason reason;
    bool overload = false;  ///< no fact: the stored reason by itself cannot be
  };
  const Failure& failure() const { return failure_; }
  /// Fails by a stored reason alone.
  bool fail(Reason stored);

  /// Keeps the facts of a reason until the level is given up.
  Reason store(const std::vector<Fact>& facts);
  void stored(Reason reason, std::vector<Fact>& facts) const;

  /// The weakest value that, with the days that are not allowed, implies this one.
  Value relaxed(Fact fact) const;
  /// The first allowed value at or above this one.
  Value settled(SideId side, Value value) const;

  std::uint32_t level() const { return static_cast<std::uint32_t>(levels_.size()); }
  void open_level();
  void back_to(std::uint32_t level);

  Position size() const { return static_cast<Position>(trail_.size()); }
  const Entry& entry(Position at) const { return trail_[at]; }
  /// The entry by which a fact that holds came to hold.
  Position since(Fact fact) const;
  /// The bound of a side before an entry.
  Value low_before(SideId side, Position before) const;
  /// What held before anything was pushed.
  Value initial(SideId side) const { return trail_[side].value; }

 private:
  struct Level {
    Position trail = 0;
    std::size_t stored = 0;
  };

  std::vector<const calendar::DaySet*> allowed_;  ///< by variable
  std::vector<Value> low_;                        ///< by side
  std::vector<Position> last_;                    ///< by side: the entry that gave it its bound
  std::vector<Entry> trail_;                      ///< the first entries are the sides, in order
  std::vector<Level> levels_;
  std::vector<Fact> stored_;  ///< a reason is its length (as a value) and then its facts
  Failure failure_;
};

}  // namespace budwood::levelling
