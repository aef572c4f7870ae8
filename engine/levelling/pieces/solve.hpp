/// A schedule for a problem of any size.
#pragma once

#include <cstdint>
#include <functional>
#include <limits>
#include <optional>
#include <vector>

#include "levelling/search/search.hpp"

namespace budwood::levelling {

struct SolveOptions {
  /// A schedule that breaks nothing, to improve on.
  std::optional<Schedule> start;
  double seconds = 10;
  std::uint64_t seed = 1;
  std::function<bool()> stop;
  /// Told of every better schedule.
  std::function<void(const Schedule&)> improved;
};

struct Solution {
  Status status = Status::unknown;
  Schedule schedule;         ///< when optimal or feasible
  std::vector<Cost> costs;   ///< of the schedule, by objective
  std::vector<Cost> bounds;  ///< see SearchResult
};

/// Small problems, and those without groups, go to `search` as a whole. Of others the search makes
/// a first schedule (unless `start` is one), and `improve` makes that better group by group.
Solution solve(const Problem& problem, const SolveOptions& options);

}  // namespace budwood::levelling
