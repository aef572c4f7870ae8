/// The sheet: a protocol compiled into cells, and batches as rows of them.
///
///   Protocol --compile--> Template --add batches, evaluate--> Sheet
///
/// A template is made once for a protocol. Each cell is a column of plain doubles in base units
/// (dates are day numbers, truth is 1 or 0); a NaN is "no value" and travels to what rests on it.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "sheet/compile.hpp"
#include "sheet/date_plans.hpp"
#include "sheet/dates.hpp"
#include "sheet/requirements.hpp"
#include "sheet/site.hpp"
#include "sheet/stage_climate.hpp"
#include "sheet/template.hpp"
#include "sheet/trial.hpp"
#include "sheet/turns.hpp"

namespace budwood::sheet {

/// A value that an edit changed.
struct CellChange {
  CellId cell = no_cell;
  double before = 0, after = 0;
};

class Sheet {
 public:
  Sheet(std::shared_ptr<const Template> t, Site site);
  Sheet(const Sheet& other);
  Sheet(Sheet&&) noexcept = default;
  Sheet& operator=(const Sheet&) = delete;
  Sheet& operator=(Sheet&&) noexcept = default;
  ~Sheet() = default;

  /// Adds a row; its number is the order of adding. Values come with `evaluate`.
  std::size_t add(BatchFacts batch);
  /// Works out every cell of every row.
  void evaluate();

  const Template& layout() const { return *template_; }
  const std::shared_ptr<const Template>& shared_layout() const { return template_; }
  const Site& site() const { return *site_; }
  std::size_t size() const { return batches_.size(); }
  const BatchFacts& batch(std::size_t row) const { return batches_[row]; }
  double value(CellId cell, std::size_t row) const { return columns_.at(cell, row); }
  const Columns& columns() const { return columns_; }
  /// What a program gives in a row that has been evaluated.
  double answer(std::span<const Instruction> program, std::size_t row) const;
  /// The climate that a stage of a row asks for.
  StageClimate climate(std::size_t stage, std::size_t row) const;
  /// Why a row has no dates; nullptr when it has, or when a length has no value.
  const DateConflict* conflict(std::size_t row) const;

  // Edits of a sheet that has been evaluated. Only cells that rest on what is new are worked out
  // again, and what rests on a value that stays is left alone. The changes are those of the last
  // call, in the order of evaluation.

  /// Adds a row and works it out.
  std::size_t insert(BatchFacts batch);
  /// Takes other facts for a row.
  std::span<const CellChange> change(std::size_t row, BatchFacts batch);
  /// Takes other values of the site's inputs, or other working days; rows follow with `refresh`.
  void set_site_inputs(std::vector<std::pair<CellId, double>> inputs);
  void set_working_days(calendar::WorkingDays working);
  std::span<const CellChange> refresh(std::size_t row);

 private:
  ProgramContext context() const;
  void fill_same();
  void evaluate_rows(std::size_t begin, std::size_t end);
  void fill(CellId id, std::size_t begin, std::size_t end);
  void fill_dates(std::size_t begin, std::size_t end);
  void set_conflict(std::size_t row, const PlannedDates& dates);

  // sheet_edit.cpp
  void mark(CellId id);
  void mark_facts(const BatchFacts& before, const BatchFacts& after);
  void work_off(std::size_t row);
  void note_change(CellId id, std::size_t row, double before);

  std::shared_ptr<const Template> template_;
  std::unique_ptr<Site> site_;  ///< stays where it is when the sheet moves
  std::vector<BatchFacts> batches_;
  Columns columns_;
  std::map<std::size_t, std::shared_ptr<const DateConflict>> conflicts_;
  std::unique_ptr<DatePlans> dates_;  ///< for this site's working days
  Evaluator evaluator_;

  // While an edit is worked off
  Turns pending_;       ///< what is to be worked out again
  Turns site_pending_;  ///< the same for each row, after an edit of the site
  std::vector<CellChange> changes_;
  std::vector<double> dates_before_;
};

/// Where people work every day; and a batch of so many plants, half way through the calendar so that
/// no plan leaves it. With these a protocol is tried out.
Site stand_in_site();
BatchFacts stand_in_batch(double plants);

/// Expectations that a row does not meet, by their number in the template.
std::vector<std::size_t> unmet_expectations(const Sheet& sheet, std::size_t row);

/// A value as people write it: with its unit, a date, "yes" or "no"; "-" for no value.
std::string shown(const Sheet& sheet, CellId cell, std::size_t row);
/// What an expectation looks at: "120 degC"; "9 days against 5 days".
std::string shown(const Sheet& sheet, const Expectation& expectation, std::size_t row);

/// What a requirement says, with its values in a row.
std::string message_of(const Sheet& sheet, std::size_t requirement, std::size_t row);

/// Why a planned date (the start or end of a stage, or the day on which the batch is ready) is not
/// later: from it, step by step, to a date that the batch sets. Empty for other cells, and for a row
/// that has no plan.
std::vector<DateReason> reasons_of(const Sheet& sheet, CellId date, std::size_t row);

/// The first cell in evaluation order that has no value although all that it uses has one: where a
/// missing value comes from. Cells without a date because of a conflict are not looked at.
std::optional<CellId> origin_of_no_value(const Sheet& sheet, std::size_t row);

}  // namespace budwood::sheet
