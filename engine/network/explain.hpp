/// Why a network has no plan, as short as it can be said, and what would give it one.
#pragma once

#include <vector>

#include "network/solver.hpp"

namespace budwood::network {

/// The shortest explanation: facts that contradict each other, as few as possible, and among these
/// the ones that miss by most. Empty when nothing contradicts.
///
/// With k facts to name, n points and m links: O(k (n + m)) for contradictions that rest on a date
/// or a set of days, O(k n m) for links that contradict themselves (the negative cycle with the
/// fewest arcs, by rounds of Bellman-Ford from every point, given up after some hundred million
/// steps; protocols need a few thousand). Fewest is proven unless the chain must use one fact twice
/// over (two dates that go round over unequal sets of days); then it is at least irreducible.
Conflict shortest_conflict(const Network& network);

/// One change of one fact after which the whole network has a plan.
struct Repair {
  Fact fact;   ///< the fact to change; for `allowed`, `day` is the day to allow
  Day by = 0;  ///< how far: the days a bound gives way, or from the wanted day to the allowed one
  Day bound = 0;  ///< the new value of the bound, or the day to allow
  friend bool operator==(const Repair&, const Repair&) = default;
};

/// For every bound and set of days in a conflict, in its order, the smallest change of it alone
/// that makes the whole network feasible; those for which at most `limit` days do not suffice are
/// left out, so nothing comes back when two contradictions have nothing in common. A link's or
/// date's bound is found by halving, O(log limit) plans each; a day to allow by trying the days
/// around the wanted one, at most 2 `limit` plans: those first that lie nearest to days which are
/// allowed, and of these the nearest to the wanted one. In the place of a limit, `bound` is the
/// smallest number of days that plain waiting would have to be allowed for.
std::vector<Repair> repairs(const Network& network, const Conflict& conflict, Day limit = 366);

}  // namespace budwood::network
