/// A few facts of a network, looked at on their own. Used inside this module only.
#pragma once

#include <cstddef>
#include <unordered_map>
#include <vector>

#include "network/propagation.hpp"
#include "network/solver.hpp"

namespace budwood::network {

/// Whether a fact is of a link; else it is of a point.
bool is_of_link(const Fact& fact);
/// Whether a fact is a bound that can give way by some days.
bool is_bound(const Fact& fact);
/// Whether two facts are the same but for the wanted day.
bool same_fact(const Fact& a, const Fact& b);

/// Lets a bound of a network give way by some days.
void loosen(Network& network, const Fact& fact, Day days);

/// The network that holds some facts of another and nothing else, with its points renumbered. Facts
/// can be hidden and shown again, counted in the order in which they were given.
class FactSet {
 public:
  FactSet(const Network& whole, const std::vector<Fact>& facts);

  std::size_t size() const { return facts_.size(); }
  void hide(std::size_t index) { put(index, false, 0); }
  void show(std::size_t index) { put(index, true, 0); }
  /// Shows a bound that gives way by some days.
  void loosen(std::size_t index, Day days) { put(index, true, days); }

  /// Whether the facts shown contradict each other.
  bool contradicts(Side side);
  /// After that: the facts that the failing chain rests on, in the order in which they push.
  std::vector<Fact> chain() const;

 private:
  PointId local(PointId point);
  void put(std::size_t index, bool visible, Day give);

  const Network* whole_;
  std::vector<Fact> facts_;
  std::vector<std::uint32_t> place_;  ///< the own link or point that holds a fact
  std::vector<LinkId> links_;         ///< what the own links are in the whole network
  std::vector<PointId> points_;       ///< what the own points are in the whole network
  std::unordered_map<PointId, PointId> local_;
  Network network_;
  Propagation propagation_;
};

}  // namespace budwood::network
