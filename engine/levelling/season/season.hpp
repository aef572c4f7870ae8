/// Bringing many groups under limited capacity: batch by batch, then better and better.
#pragma once

#include <cstdint>
#include <functional>

#include "levelling/problem.hpp"

namespace budwood::levelling {

/// How good a schedule of many groups is; compared from the first on.
struct Standing {
  Cost unplaced = 0;        ///< weights of the groups that find no place, added up
  Cost missing = 0;         ///< what these are short of, in thousandths of what their uses take
  std::vector<Cost> costs;  ///< by objective
  double unevenness = 0;    ///< see Resource::even
};

struct Progress {
  std::uint64_t rounds = 0;
  double seconds = 0;
  const Standing* standing = nullptr;
};

struct SeasonOptions {
  /// The groups in the order in which they choose their days, and what it costs to find no place
  /// for one, by group, 1 or more. Empty: as numbered, and 1.
  std::vector<GroupId> order;
  std::vector<Cost> weights;
  std::vector<Day> wanted;   ///< by point: the days of today's plan
  std::uint64_t rounds = 0;  ///< of improvement, at most
  double seconds = 0;        ///< of improvement, at most; 0: as long as the rounds take
  std::uint64_t seed = 1;
  bool prove = true;  ///< else there are no bounds, and nothing is proven to be too much
  /// Told now and then; false ends the improvement.
  std::function<bool(const Progress&)> go_on;
};

struct Season {
  Schedule schedule;
  std::vector<bool> placed;  ///< by group: it has days, and finds enough of everything
  std::vector<bool> dated;   ///< by group: it has days
  Standing standing;
  Standing first;  ///< before any improvement
  /// By objective: a schedule that places all groups costs no less, as long as it costs no more in
  /// the objectives before.
  std::vector<Cost> bound;
  /// Groups that cannot all be placed, proven beside nothing but what cannot move. No group is in
  /// two lists. Sought among groups that found no place at first; there may be others.
  std::vector<std::vector<GroupId>> proven_too_much;
  std::uint64_t rounds = 0;
};

/// Days for every group that can have any. Groups that cannot move at all take what they need
/// first, enough or not; the others are placed one after the other where there is enough for them,
/// the nearest to their wanted days. One that finds no place stands where it is short of least.
///
/// Improvement is a large neighbourhood search over groups (Shaw 1998): some that stand in each
/// other's way are taken out and placed anew, those without a place first, and what comes of it is
/// kept when it is no worse; every so many rounds the piece around one of them is given to `search`
/// for a fixed number of conflicts. Where much is late, all groups also move together, by prices
/// and by what is crowded (`crowding.hpp`). The same seed and rounds give the same schedule, unless
/// `seconds` cuts the work off. Without rounds, bounds and proofs cost a fixed number of conflicts
/// too.
Season level_season(const Problem& problem, const SeasonOptions& options);

}  // namespace budwood::levelling
