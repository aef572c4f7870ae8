#pragma once

#include "network/network.hpp"
#include "sheet/template/template.hpp"

namespace budwood::sheet {

/// Total float: by how many days each stage can end later than planned before the day moves on
/// which the batch is ready. What follows the stage moves along
/// within its waits, seasons and working days; everything else keeps its date. (Kelley & Walker
/// 1959 for networks with lengths alone; here the bounds from above hold as well.) One latest plan
/// of what follows for each stage.
class Floats {
 public:
  /// The network is bound otherwise while a float is worked out, and then as before.
  Floats(const DateLayout& layout, network::Network& network);

  /// The floats of all stages in a plan, one day for each point of the network; `pinned` are the
  /// dates that the batch fixes. Where what follows cannot give way, nothing is solved.
  const std::vector<int>& of(const std::vector<network::Day>& plan,
                             const std::vector<std::optional<network::Day>>& pinned);

 private:
  void find_reach(const std::vector<network::Day>& plan,
                  const std::vector<std::optional<network::Day>>& pinned);
  int solve(std::int32_t stage, const std::vector<network::Day>& plan,
            const std::vector<std::optional<network::Day>>& pinned);
  void mark_following(std::int32_t stage);
  std::optional<network::LinkId> length_of(std::int32_t stage) const;

  const DateLayout& layout_;
  network::Network& network_;
  network::Solver solver_;
  std::vector<int> floats_;          ///< by stage
  std::vector<network::Day> reach_;  ///< by point
  std::vector<bool> moves_;
  std::vector<network::Day> latest_;
  std::vector<network::Network::Point> bounds_;
};

}  // namespace budwood::sheet
