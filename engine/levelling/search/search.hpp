/// A complete search that learns from its conflicts.
#pragma once

#include <cstdint>
#include <functional>
#include <limits>
#include <optional>
#include <vector>

#include "levelling/problem.hpp"

namespace budwood::levelling {

enum class Status : std::uint8_t {
  optimal,     ///< the schedule is proven the best for every objective
  feasible,    ///< there is a schedule; a better one may exist
  infeasible,  ///< proven to have no schedule
  unknown
};

struct SearchOptions {
  /// A schedule that breaks nothing, to improve on.
  std::optional<Schedule> start;
  /// The budget. Conflicts end the search at the same place every time; time may cut it off before.
  std::int64_t conflicts = std::numeric_limits<std::int64_t>::max();
  double seconds = std::numeric_limits<double>::infinity();
  std::uint64_t seed = 1;
  /// Asked now and then; the search ends when it says true.
  std::function<bool()> stop;
  /// Told of every better schedule.
  std::function<void(const Schedule&)> improved;
};

struct SearchResult {
  Status status = Status::unknown;
  Schedule schedule;        ///< when optimal or feasible
  std::vector<Cost> costs;  ///< of the schedule, by objective
  /// By objective: no schedule that is as good in the objectives before costs less. Beyond the
  /// first objective that is not proven optimal, what holds for all schedules.
  std::vector<Cost> bounds;
  std::int64_t conflicts = 0;
  std::int64_t decisions = 0;
  std::int64_t restarts = 0;
};

/// Branch and bound by lazy clause generation (Ohrimenko, Stuckey & Codish 2009; for minimum and
/// maximum lags Schutt, Feydy, Stuckey & Wallace 2013), objective by objective.
///
/// Uses whose points have one day only are taken as given, even where they alone exceed what there
/// is of a resource; then nothing is free.
SearchResult search(const Problem& problem, const SearchOptions& options);

}  // namespace budwood::levelling
