#pragma once

#include "sheet/dates/dates.hpp"
#include "sheet/sheet.hpp"

namespace budwood::sheet {

/// What binds the dates of the rows of a sheet, for those who choose dates themselves.
class DateBonds {
 public:
  explicit DateBonds(const Sheet& sheet) : sheet_(sheet), planner_(sheet.layout(), sheet.site()) {}

  /// The network of a row under other facts than its own: points as in `DateLayout`. The days that
  /// its points may fall on and its lengths stay as long as this does; limits of waits for the next
  /// working day are asked about near the dates of the row that was looked at last. nullptr when a
  /// length has no value.
  const network::Network* of(std::size_t row, const BatchFacts& facts) {
    return planner_.bind(facts, sheet_.columns(), row) ? &planner_.network() : nullptr;
  }

 private:
  const Sheet& sheet_;
  DatePlanner planner_;
};

}  // namespace budwood::sheet
