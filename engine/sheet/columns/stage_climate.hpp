/// The climate of a stage is asked for, not stored: a column for every measure and day would be
/// most of the sheet. What formulas ask for (`healing.humidity.last`) is an instruction of
/// their programs; reports read the same class.
#pragma once

#include "climate/climate.hpp"
#include "sheet/template/template.hpp"

namespace budwood::sheet {

/// The climate that a stage of one batch asks for, day by day. Days of the stage are counted from 0
/// for its first. Values are in base units; what is not set is no value.
class StageClimate {
 public:
  StageClimate(const language::Protocol& protocol, const StageCellsList& cells,
               const Columns& columns, std::size_t row, StageId stage);
  /// Of a stage of which the length is not known yet: it is asked for up to so many days.
  StageClimate(const language::Protocol& protocol, const StageCellsList& cells,
               const Columns& columns, std::size_t row, StageId stage, int days);

  /// A setting as it stands on one day.
  struct Level {
    std::size_t setting = 0;   ///< of Stage::settings
    double low = 0, high = 0;  ///< the same but for a range
    double hours = 0;          ///< of light, seconds; no value when it does not say
    double light = 0;          ///< of irrigation: mol/m2 at which so much is given; no value: a day
    double middle() const { return low + (high - low) / 2; }
  };
  /// Of several statements for one measure the last that holds counts.
  std::optional<Level> level(language::Measure measure, language::Half half, int offset) const;

  /// The days of a statement, as offsets, and how its value goes from the first to the last.
  struct Course {
    int begin = 0, end = 0;  ///< its first and its last day
    int steps = 0;           ///< in which it goes; 0: a new value every day
    bool tapers = false;
    /// Where a day lies between the first and the last: 0 to 1.
    double share(int offset) const;
  };
  Course setting_course(std::size_t setting) const;  ///< of Stage::settings
  Course mist_course(std::size_t mist) const;        ///< of Stage::mists
  /// What a statement asks for at a share of its way: its value, its programme.
  double setting_at(std::size_t setting, double share) const;
  climate::MistProgramme mist_at(std::size_t mist, double share) const;

  /// A mist programme as it stands on one day.
  struct Pulses {
    std::size_t mist = 0;  ///< of Stage::mists
    climate::MistProgramme programme;
  };
  /// Those that run on a day; a later statement replaces an earlier one with which it shares hours.
  /// A taper is even in the water a day: each day gets the same share of the one before, in whole
  /// pulses that fill their hours evenly.
  std::vector<Pulses> mist(int offset) const;

  /// Set or worked out. Of both halves of the day together it is their mean, or the one that is
  /// set. Vapour pressure deficit, dew point and absolute humidity after FAO-56; see climate.
  double value(language::Measure measure, language::Half half, int offset) const;

  /// What a formula asks for.
  double answer(const language::Reading& reading) const;

  int days() const { return days_; }

 private:
  double cell(CellId id) const { return id == no_cell ? no_value : columns_.at(id, row_); }
  Course course(const language::StageDay& from, const language::StageDay& to, CellId over,
                int steps) const;
  double going(CellId first, CellId last, double share) const;
  double in_half(language::Measure measure, language::Half half, int offset) const;
  double middle(language::Measure measure, language::Half half, int offset) const;
  double photoperiod(language::Half half, int offset) const;
  double mist_total(language::Measure measure, int offset) const;
  /// The lowest (or highest) over all days and halves, the ends of ranges counted.
  double extreme(const language::Reading& reading, bool lowest) const;
  double corner(language::Measure measure, language::Half half, int offset, bool lowest) const;
  double largest_change(const language::Reading& reading, bool fall) const;
  double step(const language::Reading& reading) const;

  const language::Protocol& protocol_;
  const StageCellsList& all_cells_;
  const Columns& columns_;
  std::size_t row_;
  const language::Stage& stage_;
  const StageCells& cells_;
  int days_;  ///< 1 or more; 0 when it is not known
};

/// The cells from which a reading is worked out.
std::vector<CellId> cells_behind(const language::Protocol& protocol, const StageCellsList& cells,
                                 const language::Reading& reading);

}  // namespace budwood::sheet
