/// Making a schedule better a piece at a time.
#pragma once

#include <cstdint>
#include <functional>
#include <limits>

#include "levelling/search/search.hpp"

namespace budwood::levelling {

struct ImproveOptions {
  /// Pieces to try; each is given up after so many conflicts. Together they end the work at the
  /// same place every time; time may cut it off before.
  std::int64_t rounds = std::numeric_limits<std::int64_t>::max();
  std::int64_t conflicts_a_round = 2000;
  double seconds = std::numeric_limits<double>::infinity();
  std::uint64_t seed = 1;
  /// How many points to free at first; this grows while pieces are solved and shrinks while not.
  std::size_t points = 40;
  std::function<bool()> stop;
  /// Told of every better schedule.
  std::function<void(const Schedule&)> improved;
};

struct Improvement {
  Schedule schedule;
  /// No schedule is better: a piece that was everything was proven, or nothing costs anything.
  bool optimal = false;
  std::int64_t rounds = 0;
};

/// Large neighbourhood search (Shaw 1998): frees some groups that take of the same resources at
/// about the same time, holds all others, and lets `search` find the best days for the freed ones.
/// Costs never rise. `start` must break nothing.
Improvement improve(const Problem& problem, const Schedule& start, const ImproveOptions& options);

}  // namespace budwood::levelling
