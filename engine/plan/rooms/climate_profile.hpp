/// Private to this module.
#pragma once

#include <map>
#include <vector>

#include "sheet/row.hpp"

namespace budwood::plan {

/// A climate value that batches in one room share, in one half of the day.
struct ClimateColumn {
  language::Measure measure = language::Measure::air;
  language::Half half = language::Half::day;
};
/// All that are compared: what can be set, by day and by night, and the time of mist.
const std::vector<ClimateColumn>& climate_columns();

/// The values that a stage asks for on one day, base units: all from `low` to `high` will do. NaNs
/// where it asks for nothing.
struct Band {
  double low = sheet::no_value;
  double high = sheet::no_value;
  friend bool operator==(const Band&, const Band&) = default;
};
/// By how much they miss each other; 0 or less when they meet, a NaN when one of them is open.
double gap(const Band& a, const Band& b);
/// Whether a gap beside a value is more than may be, rounding aside.
bool beyond(double gap, double tolerance, double value);

/// The climate of a stage, day by day, with the days on which plants wait for the next.
struct ClimateProfile {
  struct Column {
    std::size_t number = 0;   ///< in climate_columns()
    std::vector<Band> bands;  ///< by day of the stay
  };
  int days = 0;
  std::vector<Column> columns;  ///< ascending; those that are set on some day
};

/// Climates of stages, each kept once: most batches of a protocol share theirs.
class ClimateProfiles {
 public:
  /// The number of the climate of a stage in a row with dates; the sheet stays where it is.
  std::size_t find(const sheet::Row& row, language::StageId stage);

  const ClimateProfile& operator[](std::size_t number) const { return profiles_[number]; }

 private:
  struct Known {
    std::vector<sheet::CellId> cells;  ///< on which the climate rests, but for days of waiting
    std::map<std::vector<std::uint64_t>, std::size_t> by_values;
  };
  std::map<std::pair<const sheet::Sheet*, language::StageId>, Known> known_;  ///< by stage
  std::vector<ClimateProfile> profiles_;
};

}  // namespace budwood::plan
