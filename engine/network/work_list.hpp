/// The points that still have to push. Used inside this module only.
#pragma once

#include <cstdint>
#include <vector>

#include "network/tightening.hpp"
#include "network/time_network.hpp"

namespace budwood::network {

/// Hands out marked points in sweeps: first against time for the latest plan, along it for the
/// earliest, turning round whenever nothing is left ahead. Along a protocol most pushes go one way,
/// so a few sweeps do (Yen 1970 sweeps Bellman-Ford the same way). "Time" is a topological order of
/// the links that can only go forward; it steers the speed, never the result.
class WorkList {
 public:
  /// O(n + m).
  void prepare(const Network& network, Side side);

  bool empty() const { return count_ == 0; }
  void add(PointId point);
  /// Removes and returns the next point; the list must not be empty.
  PointId take();

 private:
  void order_points(const Network& network);

  std::vector<PointId> order_;          ///< points by rank
  std::vector<std::uint32_t> rank_;     ///< where a point stands in `order_`
  std::vector<std::uint32_t> waiting_;  ///< scratch: links into a point that are not yet ordered
  std::vector<std::uint64_t> marked_;   ///< one bit a rank
  std::size_t count_ = 0;
  std::size_t position_ = 0;  ///< the rank handed out last
  bool upward_ = false;
};

}  // namespace budwood::network
