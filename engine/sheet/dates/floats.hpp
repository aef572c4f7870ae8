#pragma once

#include "network/network.hpp"
#include "sheet/template/template.hpp"

namespace budwood::sheet {

/// Total float: by how many days each stage can end later than planned before the batch is late or,
/// when no day is set for it, ready on a later day than planned. What follows the stage moves along
/// within its waits, seasons and working days; everything else keeps its date. (Kelley & Walker
/// 1959 for networks with lengths alone; here the bounds from above hold as well.) One pass back
/// through the network for each stage.
class Floats {
 public:
  Floats(const DateLayout& layout, const network::Network& network);

  /// The float of a stage in a plan, one day for each point of the network.
  int of(std::int32_t stage, const std::vector<network::Day>& plan);

 private:
  void mark_following(std::int32_t stage);
  network::Day kept_free(network::PointId point, const std::vector<network::Day>& plan) const;
  network::Day latest(network::PointId point, std::int32_t stage,
                      const std::vector<network::Day>& plan) const;
  network::Day bound_by(network::LinkId link, network::PointId point,
                        const std::vector<network::Day>& plan) const;

  const DateLayout& layout_;
  const network::Network& network_;
  std::vector<bool> moves_;
  std::vector<network::Day> latest_;
};

}  // namespace budwood::sheet
