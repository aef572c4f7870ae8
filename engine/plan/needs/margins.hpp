/// Worked out, not guessed: the batch is planned anew with the share one percentage point
/// better, and the difference in cost is taken.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "plan/needs/costs.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

/// What it is worth to a batch when one percent more of the plants come through somewhere.
struct Margin {
  std::uint32_t batch = 0;  ///< in Plan::batches
  std::string input;        ///< the share that is one percentage point better
  double saving = 0;        ///< money for the whole batch
  double fewer = 0;         ///< plants fewer to start with, over all parts
};

/// For each batch that costs something and each input that alone says what a stage loses: the batch
/// is worked out anew with that input one percentage point better, all else as it is. Inputs at the
/// end of their range are left out, and in batches that must be sure of their number those that
/// rest on a count, because a share without a count would be another thing.
std::vector<Margin> margins(const Plan& plan);

}  // namespace budwood::plan
