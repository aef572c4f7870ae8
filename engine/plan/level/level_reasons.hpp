/// Private to this module.
#pragma once

#include <string>
#include <vector>

#include "plan/plan.hpp"

namespace budwood::plan {

/// Which rooms and crews a plan asks too much of, by batch: why levelling moves a batch.
class LevelReasons {
 public:
  explicit LevelReasons(const Plan& today);

  /// "mist_frame is over full from Mon 2027-04-05 to Fri 2027-04-09"; for a batch that has no part
  /// in any of it, that it makes room for others.
  std::string because(std::uint32_t batch) const;

 private:
  std::vector<std::string> by_batch_;  ///< the first of each; "" for none
};

}  // namespace budwood::plan
