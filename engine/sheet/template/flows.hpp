/// Chains are where numbers are decided: a chain is a run of stages through which the same
/// plants go. It ends at a join and where plants multiply, part, are thrown out or fill trays.
/// How many to start is one instruction of the program (`start`), so it runs down a column like
/// any formula.
#pragma once

#include "sheet/sheet.hpp"
#include "sheet/site/daily_totals.hpp"

namespace budwood::sheet {

/// Up to when something that comes back is out: so many days after a date of the batch.
struct Loan {
  CellId date = no_cell;
  int days_after = 0;
};
/// A batch has left on the day after it is ready; a stage is over on the day of its end.
Loan loan_of(const Template& t, const language::Use& use);

/// What the batches of a template take of their site: the space of a stage, the time of a work, the
/// amount of a use.
struct Flow {
  std::uint32_t resource = 0;  ///< in DailyTotals
  CellId amount = no_cell;
  CellId start = no_cell, days = no_cell;  ///< of the stage
  const language::Work* work = nullptr;    ///< none: the space of a stage
  bool back = false;                       ///< it is out up to `ends`
  std::vector<CellId> ends;                ///< dates; the last of them counts
  int days_after = 0;                      ///< that date
  int from = 0;                            ///< of a space: so many days after the start
  std::optional<int> to{};                 ///< up to so many days after it; none: up to `ends`
};

/// The flows of a template into the totals of a site.
std::vector<Flow> flows_of(const Template& t, DailyTotals& totals);

/// The values of a row as they are, or as they were before some of them changed.
struct RowView {
  const Columns& columns;
  std::size_t row = 0;
  const std::vector<bool>* changed = nullptr;   ///< by cell; none: as they are
  const std::vector<double>* before = nullptr;  ///< by cell, for those that changed

  double operator()(CellId cell) const {
    if (changed != nullptr && (*changed)[cell]) return (*before)[cell];
    return columns.at(cell, row);
  }
};

/// Adds what a row takes (sign 1), or gives it back (-1). What has no value is counted as missing.
void pour(const Flow& flow, const calendar::WorkingDays& working, const RowView& value, int sign,
          DailyTotals& totals);
/// The cells that a flow looks at.
std::vector<CellId> cells_of(const Flow& flow);

}  // namespace budwood::sheet
