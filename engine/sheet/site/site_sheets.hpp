/// All sheets of a site. Edits of the site itself go through all batches: each can rest on a
/// closed day or on what the site has learned.
#pragma once

#include <functional>
#include <span>
#include <string>

#include "sheet/columns/edit.hpp"
#include "sheet/columns/given.hpp"
#include "sheet/sheet.hpp"
#include "sheet/template/flows.hpp"

namespace budwood::sheet {

/// What some edits, taken together, have changed.
struct Changes {
  struct Value {
    BatchKey batch;
    CellId cell = no_cell;
    double before = 0, after = 0;
  };
  std::vector<Value> values;  ///< by edit, batch, order of evaluation; a cell can come up again
  std::vector<BatchKey> added, dropped;
};

/// All sheets of a site, with what its batches take of rooms, crews and supplies day by day. Edits
/// work out again what rests on them and nothing else; what they cost does not depend on how many
/// batches there are, but for edits of the site itself, which go through all of them.
///
/// After any edits all values and totals are those that a new evaluation would give.
class SiteSheets {
 public:
  /// Takes the sheets over and works them out. They share the working days of the first.
  explicit SiteSheets(std::vector<Sheet> sheets);

  std::size_t size() const { return sheets_.size(); }
  const Sheet& operator[](std::size_t sheet) const { return sheets_[sheet].sheet; }
  double value(BatchKey batch, CellId cell) const {
    return sheets_[batch.sheet].sheet.value(cell, batch.row);
  }
  /// Whether there is such a batch; the row of one that was dropped stays empty until another takes
  /// its place.
  bool has(BatchKey batch) const;
  const DailyTotals& totals() const { return totals_; }

  /// Makes some edits in one go. When one of them cannot be made, none is, and the answer says why
  /// in a sentence; else it is empty.
  std::string apply(std::span<const Edit> edits);
  std::string apply(const Edit& edit) { return apply(std::span(&edit, 1)); }
  /// The batches that the last `apply` added, in the order of its edits.
  const std::vector<BatchKey>& added() const { return added_; }
  /// Takes back the edits of the last `apply` that still stands; false when there is none.
  bool undo();
  /// Forgets what could be undone.
  void forget_history() { history_.clear(); }

  using Listener = std::function<void(const Changes&)>;
  /// Has a listener told of every change from now on, undoing included; its number ends that.
  /// Listeners do not edit.
  std::size_t subscribe(Listener listener);
  void unsubscribe(std::size_t number);

 private:
  struct Part {
    Sheet sheet;
    std::vector<Flow> flows;
    std::vector<std::vector<std::uint32_t>> flows_of_cell;  ///< by cell: in `flows`
    std::vector<bool> dropped;                              ///< by row
    std::vector<std::uint32_t> free_rows;
    // While a row changes, by cell
    std::vector<bool> changed;
    std::vector<double> before;
    std::vector<std::uint32_t> touched;  ///< flows
    explicit Part(Sheet one) : sheet(std::move(one)) {}
  };

  // What takes an edit back
  struct Facts {
    BatchKey batch;
    BatchFacts facts;
  };
  struct Removal {
    BatchKey batch;
  };
  struct Revival {
    BatchKey batch;
    BatchFacts facts;
  };
  struct WorkingDays {
    calendar::WorkingDays days;
  };
  struct SiteInputs {
    std::uint32_t sheet = 0;
    GivenValues inputs;
  };
  using Inverse = std::variant<Facts, Removal, Revival, WorkingDays, SiteInputs>;
  using Step = std::vector<Inverse>;

  // site_sheets.cpp
  void add_part(Sheet sheet);
  void pour_all(const Part& part);
  static void pour_row(const Part& part, std::size_t row, int sign, DailyTotals& totals);
  void pour_changes(Part& part, std::size_t row, std::span<const CellChange> changes);
  Inverse set_facts(BatchKey batch, BatchFacts facts);
  Inverse insert(std::uint32_t sheet, BatchFacts facts);
  Inverse remove(BatchKey batch);
  Inverse revive(BatchKey batch, BatchFacts facts);
  Inverse set_working_days(calendar::WorkingDays days);
  Inverse set_site_inputs(std::uint32_t sheet, GivenValues inputs);
  void refresh(std::uint32_t sheet, const calendar::WorkingDays* working_before = nullptr);
  Inverse make(Inverse inverse);
  void take_back(Step& step);
  void log(BatchKey batch, std::span<const CellChange> changes);
  void tell();

  // site_edits.cpp: what an edit asks for, or why it cannot be made
  struct Answer {
    std::optional<Inverse> inverse;
    std::string refused;
  };
  static Answer refuse(std::string why) { return {std::nullopt, std::move(why)}; }
  Answer perform(const Edit& edit);
  Answer perform_one(const SetInput& edit);
  Answer perform_one(const SetPlants& edit);
  Answer perform_one(const SetSure& edit);
  Answer perform_one(const SetReady& edit);
  Answer perform_one(const SetStart& edit);
  Answer perform_one(const SetPin& edit);
  Answer perform_one(const SetCount& edit);
  Answer perform_one(const AddBatch& edit);
  Answer perform_one(const DropBatch& edit);
  Answer perform_one(const SetClosed& edit);
  Answer perform_one(const SetSiteInput& edit);
  std::optional<std::string> refuse_input(std::uint32_t sheet, CellId input,
                                          const std::optional<double>& value,
                                          const GivenCount& count) const;
  std::optional<std::string> refuse_facts(std::uint32_t sheet, const BatchFacts& facts) const;
  template <typename Change>
  Answer with_facts(BatchKey batch, const Change& change);

  std::vector<Part> sheets_;
  DailyTotals totals_;
  std::vector<Step> history_;
  std::vector<BatchKey> added_;
  Changes changes_;
  std::vector<Listener> listeners_;  ///< by number; empty when it has unsubscribed
  bool told_ = false;                ///< somebody listens, so that changes are kept
};

}  // namespace budwood::sheet
