/// What a problem says of each point, and which points move together. Used inside this module only.
#pragma once

#include <cstdint>
#include <vector>

#include "levelling/problem.hpp"

namespace budwood::levelling {

/// Lags, lengths and uses by the points they touch, and points by unit.
///
/// A unit is what is freed together: the points of a group, or a single point where all points are
/// of one group.
class Links {
 public:
  using UnitId = std::uint32_t;

  explicit Links(const Problem& problem);

  const std::vector<std::uint32_t>& lags(PointId point) const { return lags_[point]; }
  const std::vector<std::uint32_t>& lengths(PointId point) const { return lengths_[point]; }
  const std::vector<std::uint32_t>& uses(PointId point) const { return uses_[point]; }

  std::size_t unit_count() const { return units_.size(); }
  const std::vector<PointId>& unit(UnitId unit) const { return units_[unit]; }
  UnitId unit_of(PointId point) const { return unit_of_[point]; }
  bool has_groups() const { return has_groups_; }

 private:
  void make_units(const Problem& problem);

  std::vector<std::vector<std::uint32_t>> lags_, lengths_, uses_;
  std::vector<std::vector<PointId>> units_;
  std::vector<UnitId> unit_of_;
  bool has_groups_ = false;
};

/// What a schedule takes of every resource, by day.
class Takings {
 public:
  Takings(const Problem& problem, const Schedule& schedule);

  /// Counts a use `times` times: 1 to put it down where the schedule has it, -1 to take it up.
  void count(const Problem& problem, const Schedule& schedule, std::uint32_t use, Amount times);
  Amount at(ResourceId resource, Day day) const;

 private:
  struct Row {
    Day first = 0;
    std::vector<Amount> amounts;
  };
  std::vector<Row> rows_;
};

}  // namespace budwood::levelling
