#include "sheet/site/site_sheets.hpp"

#include <algorithm>

#include "threads/threads.hpp"

namespace budwood::sheet {

SiteSheets::SiteSheets(std::vector<Sheet> sheets) {
  for (Sheet& sheet : sheets) add_part(std::move(sheet));
}

void SiteSheets::add_part(Sheet sheet) {
  Part& part = sheets_.emplace_back(std::move(sheet));
  const std::size_t cells = part.sheet.layout().cells.size();
  part.sheet.evaluate();
  part.flows = flows_of(part.sheet.layout(), totals_);
  part.flows_of_cell.resize(cells);
  for (std::uint32_t i = 0; i < part.flows.size(); ++i) {
    for (const CellId cell : cells_of(part.flows[i])) part.flows_of_cell[cell].push_back(i);
  }
  part.dropped.assign(part.sheet.size(), false);
  part.changed.assign(cells, false);
  part.before.assign(cells, no_value);
  pour_all(part);
}

/// Totals are whole numbers: what each worker has poured can be added up in any order.
void SiteSheets::pour_all(const Part& part) {
  constexpr std::size_t rows_a_piece = 2048;
  const threads::Pieces pieces{part.sheet.size(), rows_a_piece};
  const std::size_t workers = std::min(threads::at_once(), pieces.number());
  std::vector<DailyTotals> others(workers, totals_.emptied());
  threads::each_piece(
      pieces.number(),
      [&](std::size_t piece, std::size_t worker) {
        DailyTotals& totals = worker == 0 ? totals_ : others[worker];
        for (std::size_t row = pieces.begin(piece); row < pieces.end(piece); ++row) {
          pour_row(part, row, 1, totals);
        }
      },
      workers);
  for (const DailyTotals& one : others) totals_.add(one);
}

bool SiteSheets::has(BatchKey batch) const {
  return batch.sheet < sheets_.size() && batch.row < sheets_[batch.sheet].sheet.size() &&
         !sheets_[batch.sheet].dropped[batch.row];
}

void SiteSheets::pour_row(const Part& part, std::size_t row, int sign, DailyTotals& totals) {
  const RowView values{part.sheet.columns(), row};
  for (const Flow& flow : part.flows) {
    pour(flow, part.sheet.site().working, values, sign, totals);
  }
}

/// What the row took before is given back, and what it takes now is taken, where it differs.
void SiteSheets::pour_changes(Part& part, std::size_t row, std::span<const CellChange> changes) {
  part.touched.clear();
  for (const CellChange& change : changes) {
    part.changed[change.cell] = true;
    part.before[change.cell] = change.before;
    for (const std::uint32_t flow : part.flows_of_cell[change.cell]) part.touched.push_back(flow);
  }
  std::sort(part.touched.begin(), part.touched.end());
  part.touched.erase(std::unique(part.touched.begin(), part.touched.end()), part.touched.end());
  const RowView old{part.sheet.columns(), row, &part.changed, &part.before};
  const RowView now{part.sheet.columns(), row};
  const calendar::WorkingDays& working = part.sheet.site().working;
  for (const std::uint32_t i : part.touched) {
    pour(part.flows[i], working, old, -1, totals_);
    pour(part.flows[i], working, now, 1, totals_);
  }
  for (const CellChange& change : changes) part.changed[change.cell] = false;
}

SiteSheets::Inverse SiteSheets::set_facts(BatchKey batch, BatchFacts facts) {
  Part& part = sheets_[batch.sheet];
  Facts inverse{batch, part.sheet.batch(batch.row)};
  const std::span<const CellChange> changes = part.sheet.change(batch.row, std::move(facts));
  pour_changes(part, batch.row, changes);
  log(batch, changes);
  return inverse;
}

SiteSheets::Inverse SiteSheets::insert(std::uint32_t sheet, BatchFacts facts) {
  Part& part = sheets_[sheet];
  if (!part.free_rows.empty()) {
    const BatchKey batch{sheet, part.free_rows.back()};
    revive(batch, std::move(facts));
    return Removal{batch};
  }
  const auto row = static_cast<std::uint32_t>(part.sheet.insert(std::move(facts)));
  part.dropped.push_back(false);
  pour_row(part, row, 1, totals_);
  if (told_) changes_.added.push_back({sheet, row});
  return Removal{{sheet, row}};
}

SiteSheets::Inverse SiteSheets::remove(BatchKey batch) {
  Part& part = sheets_[batch.sheet];
  pour_row(part, batch.row, -1, totals_);
  part.dropped[batch.row] = true;
  part.free_rows.push_back(batch.row);
  if (told_) changes_.dropped.push_back(batch);
  return Revival{batch, part.sheet.batch(batch.row)};
}

/// Puts a batch into an empty row. Edits are taken back in turn, so the row was emptied last.
SiteSheets::Inverse SiteSheets::revive(BatchKey batch, BatchFacts facts) {
  Part& part = sheets_[batch.sheet];
  part.free_rows.pop_back();
  part.dropped[batch.row] = false;
  part.sheet.replace(batch.row, std::move(facts));
  pour_row(part, batch.row, 1, totals_);
  if (told_) changes_.added.push_back(batch);
  return Removal{batch};
}

SiteSheets::Inverse SiteSheets::set_working_days(calendar::WorkingDays days) {
  WorkingDays inverse{sheets_.front().sheet.site().working};
  for (std::uint32_t i = 0; i < sheets_.size(); ++i) {
    sheets_[i].sheet.set_working_days(days);
    refresh(i, &inverse.days);
  }
  return inverse;
}

SiteSheets::Inverse SiteSheets::set_site_inputs(std::uint32_t sheet, GivenValues inputs) {
  Sheet& one = sheets_[sheet].sheet;
  SiteInputs inverse{sheet, one.site().inputs};
  one.set_site_inputs(std::move(inputs));
  refresh(sheet);
  return inverse;
}

/// Brings all rows up to date after an edit of the site. When the working days were others before,
/// work can move although no value of its batch does.
void SiteSheets::refresh(std::uint32_t sheet, const calendar::WorkingDays* working_before) {
  Part& part = sheets_[sheet];
  for (std::uint32_t row = 0; row < part.sheet.size(); ++row) {
    if (part.dropped[row]) continue;
    if (working_before != nullptr) {
      const RowView values{part.sheet.columns(), row};
      for (const Flow& flow : part.flows) pour(flow, *working_before, values, -1, totals_);
    }
    const std::span<const CellChange> changes = part.sheet.refresh(row);
    if (working_before != nullptr) {
      pour_row(part, row, 1, totals_);
    } else {
      pour_changes(part, row, changes);
    }
    log({sheet, row}, changes);
  }
}

SiteSheets::Inverse SiteSheets::make(Inverse inverse) {
  return std::visit(
      [&](auto& one) -> Inverse {
        using One = std::decay_t<decltype(one)>;
        if constexpr (std::is_same_v<One, Facts>) return set_facts(one.batch, std::move(one.facts));
        if constexpr (std::is_same_v<One, Removal>) return remove(one.batch);
        if constexpr (std::is_same_v<One, Revival>) return revive(one.batch, std::move(one.facts));
        if constexpr (std::is_same_v<One, WorkingDays>) {
          return set_working_days(std::move(one.days));
        }
        if constexpr (std::is_same_v<One, SiteInputs>) {
          return set_site_inputs(one.sheet, std::move(one.inputs));
        }
      },
      inverse);
}

void SiteSheets::take_back(Step& step) {
  for (auto inverse = step.rbegin(); inverse != step.rend(); ++inverse) make(std::move(*inverse));
}

std::string SiteSheets::apply(std::span<const Edit> edits) {
  added_.clear();
  Step step;
  for (const Edit& edit : edits) {
    Answer answer = perform(edit);
    if (!answer.inverse) {
      take_back(step);
      added_.clear();
      changes_ = {};
      return answer.refused;
    }
    step.push_back(std::move(*answer.inverse));
  }
  history_.push_back(std::move(step));
  tell();
  return {};
}

bool SiteSheets::undo() {
  if (history_.empty()) return false;
  Step step = std::move(history_.back());
  history_.pop_back();
  take_back(step);
  tell();
  return true;
}

std::size_t SiteSheets::subscribe(Listener listener) {
  told_ = true;
  listeners_.push_back(std::move(listener));
  return listeners_.size() - 1;
}

void SiteSheets::unsubscribe(std::size_t number) {
  if (number < listeners_.size()) listeners_[number] = nullptr;
  told_ = std::any_of(listeners_.begin(), listeners_.end(),
                      [](const Listener& one) { return one != nullptr; });
}

void SiteSheets::log(BatchKey batch, std::span<const CellChange> changes) {
  if (!told_) return;
  for (const CellChange& change : changes) {
    changes_.values.push_back({batch, change.cell, change.before, change.after});
  }
}

void SiteSheets::tell() {
  if (!told_) return;
  const Changes changes = std::move(changes_);
  changes_ = {};
  // A listener may end its own or another's subscription while it is told, or add one.
  const std::size_t count = listeners_.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Listener listener = listeners_[i];
    if (listener) listener(changes);
  }
}

}  // namespace budwood::sheet
