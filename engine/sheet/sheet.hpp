/// The sheet: a protocol compiled into cells, and batches as rows of them.
///
///   Protocol --compile--> Template --add batches, evaluate--> Sheet --all of a site--> SiteSheets
///
/// A template is made once for a protocol. Each cell is a column of plain doubles in base units
/// (dates are day numbers, truth is 1 or 0); a NaN is "no value" and travels to what rests on it.
/// `SiteSheets` takes edits, works out again what rests on them, keeps the totals of each day
/// right, tells who listens, and takes edits back.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "sheet/columns/stage_climate.hpp"
#include "sheet/dates/date_plans.hpp"
#include "sheet/dates/turns.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/template.hpp"

namespace budwood::sheet {

/// A value that an edit changed.
struct CellChange {
  CellId cell = no_cell;
  double before = 0, after = 0;
};

/// The batches of one protocol and all their values.
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
  /// Room for so many rows in all.
  void reserve(std::size_t rows) { batches_.reserve(rows); }
  /// Works out every cell of every row; of thousands of rows on several cores.
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
  StageClimate climate(StageId stage, std::size_t row) const;
  /// Why a row has no dates; nullptr when it has, or when a length has no value.
  const DateConflict* conflict(std::size_t row) const;
  /// What a row that is under way does not keep of its protocol.
  const std::vector<Deviation>& deviations(std::size_t row) const;

  // Edits of a sheet that has been evaluated. Only cells that rest on what is new are worked out
  // again, and what rests on a value that stays is left alone. The changes are those of the last
  // call, in the order of evaluation.

  /// Adds a row and works it out.
  std::size_t insert(BatchFacts batch);
  /// Takes another batch for a row and works all of it out.
  void replace(std::size_t row, BatchFacts batch);
  /// Takes other facts for a row.
  std::span<const CellChange> change(std::size_t row, BatchFacts batch);
  /// Takes other values of the site's inputs, or other working days; rows follow with `refresh`.
  void set_site_inputs(std::vector<std::pair<CellId, double>> inputs);
  void set_working_days(calendar::WorkingDays working);
  std::span<const CellChange> refresh(std::size_t row);

 private:
  /// What rows are worked out with, kept for the next ones: each thread has its own.
  struct Desk {
    std::unique_ptr<DatePlans> dates;  ///< for this site's working days
    Evaluator evaluator;
  };
  /// What there is to say of rows, of few of them.
  struct Remarks {
    std::map<std::size_t, std::shared_ptr<const DateConflict>> conflicts;
    std::map<std::size_t, std::shared_ptr<const std::vector<Deviation>>> deviations;

    void set(std::size_t row, const PlannedDates& dates);
    void take(Remarks of_others);
  };

  ProgramContext context() const;
  void fill_same();
  void evaluate_rows(Desk& desk, Remarks& remarks, std::size_t begin, std::size_t end);
  void fill(Evaluator& evaluator, CellId id, std::size_t begin, std::size_t end);
  void fill_dates(Desk& desk, Remarks& remarks, std::size_t begin, std::size_t end);

  // sheet_edit.cpp
  void mark(CellId id);
  void mark_facts(const BatchFacts& before, const BatchFacts& after);
  void work_off(std::size_t row);
  void note_change(CellId id, std::size_t row, double before);

  std::shared_ptr<const Template> template_;
  std::unique_ptr<Site> site_;  ///< stays where it is when the sheet moves
  std::vector<BatchFacts> batches_;
  Columns columns_;
  Remarks remarks_;
  Desk desk_;

  // While an edit is worked off
  Turns pending_;       ///< what is to be worked out again
  Turns site_pending_;  ///< the same for each row, after an edit of the site
  std::vector<CellChange> changes_;
  std::vector<double> dates_before_;
};

}  // namespace budwood::sheet
