/// A few facts of a network, looked at on their own. Used inside this module only.
#pragma once

#include <optional>
#include <unordered_map>
#include <vector>

#include "network/propagation.hpp"
#include "network/solver.hpp"

namespace budwood::network {

/// The network that holds some facts of another and nothing else, with its points renumbered.
class FactSet {
 public:
  FactSet(const Network& whole, const std::vector<Fact>& facts);

  /// Whether the facts contradict each other. Then `chain` gives those that the failing chain rests
  /// on, in the order in which they push.
  bool contradicts(Side side = Side::latest);
  std::vector<Fact> chain();

  /// Lets a bound give way by some days. `index` counts the facts given.
  void loosen(std::size_t index, Day days);

 private:
  PointId local(PointId point);

  const Network* whole_;
  std::vector<Fact> facts_;
  std::vector<PointId> points_;  ///< what the own points are in the whole network
  std::unordered_map<PointId, PointId> local_;
  std::vector<std::uint32_t> place_;  ///< the own link or point that holds a fact
  std::vector<LinkId> links_;         ///< what the own links are in the whole network
  Network network_;
  Propagation propagation_;
};

/// Whether a fact is a bound that can give way by some days.
bool is_bound(const Fact& fact);

/// The same network with one bound given way by some days; `fact` is one of its bounds.
void loosen(Network& network, const Fact& fact, Day days);

/// Leaves out what the contradiction does not need, until leaving out any one fact removes it, and
/// works out by how much it misses. One look at the rest for each fact, none when the facts are one
/// simple cycle of bounds. The order is that of the pushes from `side`.
void reduce(const Network& network, Conflict& conflict, Side side);

/// The smallest number of days, from 1 to `most`, for which `enough` holds; nothing when it does
/// not hold for `most`. `enough` must not fail for more days than it holds for.
template <class Enough>
std::optional<Day> fewest_days(Day most, Enough enough) {
  if (most < 1 || !enough(most)) return {};
  Day low = 1, high = 1;
  while (high < most && !enough(high)) {
    low = high + 1;
    high = high > most / 2 ? most : high * 2;
  }
  while (low < high) {
    const Day middle = low + (high - low) / 2;
    if (enough(middle)) {
      high = middle;
    } else {
      low = middle + 1;
    }
  }
  return high;
}

}  // namespace budwood::network
