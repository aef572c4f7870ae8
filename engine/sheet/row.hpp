#pragma once

#include <cmath>
#include <optional>
#include <span>

#include "sheet/columns/given.hpp"
#include "sheet/sheet.hpp"

namespace budwood::sheet {

/// One batch of a sheet: its values, and what its template says of them.
///
///   const sheet::Row row(sheet, 3);
///   row.day(row.cells(stage).start)   // a planned date
///
/// Looks at the sheet, which stays where it is.
class Row {
 public:
  Row(const Sheet& sheet, std::size_t number) : sheet_(&sheet), number_(number) {}

  const Sheet& sheet() const { return *sheet_; }
  std::size_t number() const { return number_; }
  const Template& layout() const { return sheet_->layout(); }
  const language::Protocol& protocol() const { return layout().protocol; }
  const language::Stage& stage(StageId id) const { return protocol().stages[id]; }
  const StageCells& cells(StageId id) const { return layout().stages[id]; }
  const WorkCells& cells(StageId stage, language::WorkId work) const {
    return cells(stage).works[work];
  }
  const BatchFacts& facts() const { return sheet_->batch(number_); }

  /// Base units.
  double value(CellId cell) const { return sheet_->value(cell, number_); }
  /// What stands for it where the protocol says nothing and there is no such cell.
  double value(CellId cell, double otherwise) const {
    return cell == no_cell ? otherwise : value(cell);
  }
  /// A date that has a value: all have one, or none.
  Day day(CellId date) const { return static_cast<Day>(value(date)); }
  std::optional<Day> known_day(CellId date) const {
    return std::isnan(value(date)) ? std::nullopt : std::optional(day(date));
  }
  /// A number of days that has a value.
  int days(CellId cell) const { return static_cast<int>(value(cell)); }

  Day start(StageId id) const { return day(cells(id).start); }
  Day end(StageId id) const { return day(cells(id).end); }
  /// From the start of a stage until all of its plants have gone on: its days and those of waiting.
  int days_with_wait(StageId id) const;
  bool dated() const { return !std::isnan(value(layout().ready)); }
  std::optional<Day> ready() const { return known_day(layout().ready); }

  /// The share of plants that goes on from a stage, of what comes into it.
  double through(StageId id) const {
    return value(cells(id).survival, 1) * value(cells(id).kept, 1);
  }
  StageClimate climate(StageId id) const { return sheet_->climate(id, number_); }
  double answer(std::span<const Instruction> program) const {
    return sheet_->answer(program, number_);
  }
  const DateConflict* conflict() const { return sheet_->conflict(number_); }
  const std::vector<Deviation>& deviations() const { return sheet_->deviations(number_); }

 private:
  const Sheet* sheet_;
  std::size_t number_;
};

/// What was counted last in a chain of a row; what came before it is over then.
struct LastCount {
  std::size_t place = 0;  ///< of the stage, in Chain::stages
  double plants = 0;      ///< that came through it
  /// Pickings or grades of it were counted, not what goes on in all; `plants` were picked.
  bool partly = false;
  std::size_t pickings = 0;  ///< up to the last that was
  bool graded = false;       ///< some of its grades were
};
std::optional<LastCount> last_count(const Row& row, const Chain& chain);
std::optional<LastCount> last_count(const Template& t, const GivenValues& counted,
                                    const Chain& chain);

}  // namespace budwood::sheet
