/// What moves a value is tried, not derived: a row of a sheet for each trial value, all
/// evaluated at once. Formulas with `if`, tables and working days have no useful derivative. A
/// range that nobody wrote is not invented.
#pragma once

#include <string>
#include <vector>

#include "sheet/row.hpp"

namespace budwood::plan {

struct BatchPlan;
struct Plan;

/// One fact of a batch that is tried at several values, all else unchanged. Values are in base
/// units, days are day numbers.
struct Tried {
  enum class What : std::uint8_t {
    input,   ///< over the range that the protocol gives it
    plants,  ///< of the batch, from half to double; no range that anybody wrote
    date,    ///< to be ready by or started on, four weeks either way; no range that anybody wrote
  };
  struct Trial {
    double value = 0;
    double result = 0;  ///< of the cell asked about; NaN: no value
    bool feasible = false;
  };
  /// Values from `low` to `high` with which the plan can be carried out.
  struct Stretch {
    double low = 0, high = 0;
  };

  What what = What::input;
  sheet::CellId cell = sheet::no_cell;
  units::Unit unit;  ///< in which the value is written
  double present = 0;
  double step = 1;                ///< to which the ends of stretches are found, in `unit`
  std::vector<Trial> trials;      ///< by value: both ends, the present value and steps between
  std::vector<Stretch> feasible;  ///< ascending
  /// What is in the way just below and just above the stretch that holds the present value (without
  /// one, of the first stretch); "" where it reaches the end of the range.
  std::string below, above;

  double low() const { return trials.front().value; }
  double high() const { return trials.back().value; }
  /// The trials with the smallest and the largest result, the first of several; nothing when the
  /// cell never has a value.
  const Trial* smallest() const;
  const Trial* largest() const;
  /// From the smallest to the largest result; 0 when the cell never has a value.
  double moves() const;
  /// The stretch that holds the present value, else the first; nothing when there is none.
  const Stretch* around_present() const;
};

/// How much a cell of a batch moves when each input goes through its range, one at a time.
struct Sensitivity {
  sheet::CellId cell = sheet::no_cell;
  double present = 0;
  std::string obstacle;       ///< why the batch cannot be carried out as it stands; "" when it can
  std::vector<Tried> inputs;  ///< the ones that move the cell most go first
  std::vector<Tried> batch;   ///< its plants and its date
  std::vector<sheet::CellId>
      without_range;  ///< inputs that may take any value, which are not tried
};

/// Tries every input that has a range at 33 values and more. A plan can be carried out when the
/// batch has dates, every value it needs, nothing outside its range and no `require` that is not
/// met; what batches do to each other is not looked at. An input that is tried at another value
/// than its present one rests on no count (see `sure:`), as if the batch had set it.
///
/// Ends of feasible stretches are found by halving between two trials, on a grid of at most a
/// 500th of the range; a gap or island narrower than the distance of two trials can be missed.
Sensitivity sensitivity_of(const Plan& plan, const BatchPlan& batch, sheet::CellId cell);

}  // namespace budwood::plan
