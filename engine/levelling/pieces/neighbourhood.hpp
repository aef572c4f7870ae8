/// Which units to free next. Used inside this module only.
#pragma once

#include <cstdint>
#include <random>
#include <vector>

#include "levelling/search/links.hpp"

namespace budwood::levelling {

/// Frees units that stand in each other's way: one that costs something, or any, and those that
/// take of the same resources at about the same time (large neighbourhood search: Shaw 1998; time
/// windows of schedules: Godard, Laborie & Nuijten 2005).
class Neighbourhood {
 public:
  Neighbourhood(const Problem& problem, const Links& links, std::uint64_t seed);

  /// The points of units chosen around a schedule: one unit at least, and others as long as there
  /// are no more than `points` points. In order.
  std::vector<PointId> choose(const Schedule& schedule, std::size_t points);

 private:
  struct Near {
    std::int64_t distance = 0;
    Links::UnitId unit = 0;
  };

  Links::UnitId first_unit(const Schedule& schedule);
  std::vector<Near> by_distance(const Schedule& schedule, Links::UnitId first);
  std::size_t below(std::size_t count) { return static_cast<std::size_t>(random_() % count); }

  const Problem& problem_;
  const Links& links_;
  std::mt19937_64 random_;
  std::vector<std::uint64_t> takes_;  ///< by unit: its resources, one bit for every 64th
};

}  // namespace budwood::levelling
