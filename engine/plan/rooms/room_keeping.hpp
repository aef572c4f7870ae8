/// Private to this module.
///
/// What is kept in a room is a set of bits a day, so that it costs nothing to ask whether a
/// setting ends.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "plan/rooms/climate_profile.hpp"

namespace budwood::plan {

struct Plan;

/// Some of climate_columns(), a bit each.
using ColumnSet = std::uint64_t;

/// The columns that a setting of this name stands in: by day, by night, or both.
ColumnSet columns_of(const std::string& setting, language::Half half);

/// What the plants in each room ask for, day by day, waiting for the next stage included.
class RoomKeeping {
 public:
  explicit RoomKeeping(const Plan& plan);

  /// All that some stay in the room asks for on a day.
  ColumnSet on(const std::string& room, calendar::Day day) const;

 private:
  struct Days {
    calendar::Day first = 0;      ///< the day of kept.front()
    std::vector<ColumnSet> kept;  ///< by day
  };
  static void add(Days& days, calendar::Day start, const std::vector<ColumnSet>& stay);

  std::map<std::string, Days> rooms_;
};

}  // namespace budwood::plan
