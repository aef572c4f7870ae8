/// The latest and the earliest plan of a network, or why there is none.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "network/time_network.hpp"

namespace budwood::network {

/// One thing that a conflict rests on.
struct Fact {
  enum class Kind : std::uint8_t { link_low, link_high, length, not_before, not_after, allowed };
  Kind kind = Kind::link_low;
  std::uint32_t id = 0;  ///< a link for the first three, else a point
  Day day = 0;           ///< for `allowed`: the day that was wanted and is not in the set
  friend bool operator==(const Fact&, const Fact&) = default;
};

/// Facts that contradict each other, in the order in which they push, and by how many days they
/// miss. Leaving out any one of them (for `allowed`: the whole set of the point) removes this
/// contradiction.
struct Conflict {
  std::vector<Fact> facts;
  /// The least number of days by which one of the bounds would have to give way to remove this
  /// contradiction; 0 when days alone do not help.
  Day misses = 0;
  /// Nothing contradicts, but nothing bounds this date on the side asked for either. Then `facts`
  /// is empty.
  std::optional<PointId> unbounded;
};

class Propagation;

/// Finds plans. Keeps its working memory between calls, so one solver serves many batches: after
/// the first call on the largest network it allocates nothing as long as there is a plan.
///
/// n points, m links: O(m) when no date is pushed twice, O(n m) at worst for links alone (Cormen et
/// al., Introduction to Algorithms, 24.4); a point with a set of days can be pushed once for every
/// member. A negative cycle is noticed as soon as a chain of pushes closes on itself. Where sets or
/// lengths take part in a contradiction, thinning it out takes about as many looks as it has facts.
class Solver {
 public:
  Solver();
  ~Solver();
  Solver(Solver&&) noexcept;
  Solver& operator=(Solver&&) noexcept;

  /// The plan in which every date is as late as all constraints allow. False when there is none;
  /// `conflict` then says why. A point that nothing bounds from above is a conflict too.
  bool latest(const Network& network, std::vector<Day>& days);
  /// The plan in which every date is as early as all constraints allow.
  bool earliest(const Network& network, std::vector<Day>& days);
  /// Why the last call failed; empty after one that did not.
  const Conflict& conflict() const { return conflict_; }

 private:
  std::unique_ptr<Propagation> propagation_;
  Conflict conflict_;
};

}  // namespace budwood::network
