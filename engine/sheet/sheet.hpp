/// The sheet: a protocol compiled into cells, and batches as rows of them.
///
///   Protocol --compile--> Template --add batches, evaluate--> Sheet
///
/// A template is made once for a protocol. Each cell is a column of plain doubles in base units
/// (dates are day numbers, truth is 1 or 0); a NaN is "no value" and travels to what rests on it.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "sheet/compile.hpp"
#include "sheet/dates.hpp"
#include "sheet/requirements.hpp"
#include "sheet/site.hpp"
#include "sheet/stage_climate.hpp"
#include "sheet/template.hpp"
#include "sheet/trial.hpp"

namespace budwood::sheet {

class Sheet {
 public:
  Sheet(std::shared_ptr<const Template> t, Site site);

  /// Adds a row; its number is the order of adding. Values come with `evaluate`.
  std::size_t add(BatchFacts batch);
  /// Works out every cell of every row.
  void evaluate();

  const Template& layout() const { return *template_; }
  const std::shared_ptr<const Template>& shared_layout() const { return template_; }
  const Site& site() const { return site_; }
  std::size_t size() const { return batches_.size(); }
  const BatchFacts& batch(std::size_t row) const { return batches_[row]; }
  double value(CellId cell, std::size_t row) const { return columns_[cell][row]; }
  const std::vector<double>& column(CellId cell) const { return columns_[cell]; }
  const std::vector<std::vector<double>>& columns() const { return columns_; }
  /// What a program gives in a row that has been evaluated.
  double answer(std::span<const Instruction> program, std::size_t row) const;
  /// The climate that a stage of a row asks for.
  StageClimate climate(std::size_t stage, std::size_t row) const;
  /// Why a row has no dates; nothing when it has, or when a length has no value.
  const std::optional<DateConflict>& conflict(std::size_t row) const { return conflicts_[row]; }

 private:
  ProgramContext context() const;
  void fill_input(CellId id);
  void fill_counts(CellId id);
  void plan_dates();

  std::shared_ptr<const Template> template_;
  Site site_;
  std::vector<BatchFacts> batches_;
  std::vector<std::vector<double>> columns_;
  std::vector<std::optional<DateConflict>> conflicts_;
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
