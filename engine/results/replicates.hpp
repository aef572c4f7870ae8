/// Tests of seed in replicates of a hundred, judged by the printed tables of tolerance.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "results/summary.hpp"

namespace budwood::results {

/// The replicates of one stage of a batch.
struct SeedTest {
  std::size_t book = 0;
  std::string batch, stage, title;
  std::vector<std::int64_t> counts;  ///< of a hundred each, in the order of the trays' names
  double mean = 0;                   ///< percent
  std::int64_t range = 0;            ///< percentage points
  std::optional<int> allowed;        ///< nothing where the table says none
  double chance = 0;                 ///< of a wider range by luck, given how many germinated in all
  double usual = 0;                  ///< percent that the plan expects: what a label would say
  int allowed_difference = 0;        ///< from the usual share

  bool repeat() const { return allowed && range > *allowed; }
  bool differs() const;
};

/// Of every stage that was counted in two or four trays of 100. Stages counted in other trays are
/// told in `left_out`.
std::vector<SeedTest> seed_tests(const std::vector<Asked>& books, const std::string& stage,
                                 std::vector<LeftOut>& left_out);

}  // namespace budwood::results
