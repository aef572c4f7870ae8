/// Private to this module.
#pragma once

#include <deque>
#include <map>
#include <optional>
#include <vector>

#include "plan/rooms/climate_profile.hpp"

namespace budwood::plan {

/// A stage of a batch in a room.
struct ClimateStay {
  calendar::Day start = 0;
  std::uint32_t batch = 0;  ///< in Plan::batches
  language::StageId stage;
  std::size_t profile = 0;  ///< its climate
};

/// By how much a climate value of two stays differs.
struct ColumnDifference {
  std::size_t column = 0;  ///< in climate_columns()
  double gap = 0;          ///< the largest, base units
  calendar::Day day = 0;   ///< on which it is first so large
  bool changes = false;    ///< whether the values are others on other days
};

/// Where two stays are at odds: beyond the tolerance of their room.
struct Difference {
  std::size_t other = 0;  ///< the one that was there before, in RoomZones::groups()
  int days = 0;
  calendar::Day first = 0;
  calendar::Day last = 0;
  std::vector<ColumnDifference> columns;
};

/// Stays of one climate that start on one day. They go to one zone.
struct StayGroup {
  ClimateStay first;
  calendar::Day last_day = 0;
  std::size_t stays = 1;
  std::size_t zone = 0;
  std::vector<Difference> differences;  ///< the worst first; none when it fits
};

/// The climates that stand in a room, zone by zone.
class RoomZones {
 public:
  /// `tolerance`: by number in climate_columns(), base units.
  RoomZones(const ClimateProfiles& profiles, std::vector<double> tolerance, std::size_t zones)
      : profiles_(profiles), tolerance_(std::move(tolerance)), most_zones_(zones) {}

  /// Puts a stay into a zone and gives its group. Stays come in the order of their start.
  std::size_t add(const ClimateStay& stay);

  const std::vector<StayGroup>& groups() const { return groups_; }
  std::size_t used() const { return zones_.size(); }

 private:
  /// Of all that stand in a zone on one day, for each column: a band agrees with all of them when
  /// it agrees with these two ends.
  struct Ends {
    std::vector<double> highest_low, lowest_high;
  };
  struct Zone {
    calendar::Day first = 0;  ///< the day of days.front()
    std::deque<Ends> days;
    std::vector<std::size_t> groups;
  };

  int days_amiss(const Zone& zone, const StayGroup& group, int enough) const;
  void put(Zone& zone, std::size_t group);
  Difference difference(const StayGroup& group, std::size_t other) const;
  std::vector<Difference> differences(const Zone& zone, const StayGroup& group) const;

  const ClimateProfiles& profiles_;
  std::vector<double> tolerance_;
  std::size_t most_zones_;
  std::vector<StayGroup> groups_;
  std::map<std::pair<calendar::Day, std::size_t>, std::size_t> by_climate_;
  std::vector<Zone> zones_;
};

}  // namespace budwood::plan
