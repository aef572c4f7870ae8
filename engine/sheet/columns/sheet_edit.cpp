#include <algorithm>
#include <bit>
#include <cmath>

#include "sheet/sheet.hpp"

/// What an edit of a sheet works out again.
namespace budwood::sheet {

std::size_t Sheet::insert(BatchFacts batch) {
  const std::size_t row = add(std::move(batch));
  columns_.resize(size());
  evaluate_rows(desk_, remarks_, row, row + 1);
  return row;
}

void Sheet::replace(std::size_t row, BatchFacts batch) {
  batches_[row] = std::move(batch);
  evaluate_rows(desk_, remarks_, row, row + 1);
}

std::span<const CellChange> Sheet::change(std::size_t row, BatchFacts batch) {
  std::swap(batches_[row], batch);
  mark_facts(batch, batches_[row]);
  work_off(row);
  return changes_;
}

void Sheet::set_site_inputs(std::vector<std::pair<CellId, double>> inputs) {
  site_pending_.clear();
  for (const auto& [cell, value] : site_->inputs) site_pending_.add(template_->turn[cell]);
  for (const auto& [cell, value] : inputs) site_pending_.add(template_->turn[cell]);
  site_->inputs = std::move(inputs);
}

void Sheet::set_working_days(calendar::WorkingDays working) {
  const Template& t = *template_;
  site_pending_.clear();
  site_->working = std::move(working);
  desk_.dates.reset();
  site_pending_.add(t.turn[t.ready]);
  for (const StageCells& cells : t.stages) {
    for (const WorkCells& work : cells.works) site_pending_.add(t.turn[work.times]);
  }
}

std::span<const CellChange> Sheet::refresh(std::size_t row) {
  pending_.add(site_pending_);
  work_off(row);
  return changes_;
}

void Sheet::mark(CellId id) {
  pending_.add(template_->turn[id]);
}

void Sheet::mark_facts(const BatchFacts& before, const BatchFacts& after) {
  const Template& t = *template_;
  if (before.plants != after.plants) mark(t.ordered);
  if (before.sure != after.sure) mark(t.sure);
  if (before.lead != after.lead) mark(t.lead);
  const bool same_pins = std::equal(before.pins.begin(), before.pins.end(), after.pins.begin(),
                                    after.pins.end(), [](const Pin& a, const Pin& b) {
                                      return a.stage == b.stage && a.end == b.end &&
                                             a.day == b.day && a.recorded == b.recorded;
                                    });
  if (before.ready != after.ready || before.start != after.start ||
      before.not_before != after.not_before || before.today != after.today || !same_pins)
    mark(t.ready);
  for (const BatchFacts* facts : {&before, &after}) {
    for (const auto& [cell, value] : facts->inputs) mark(cell);
    for (const auto& [cell, value] : facts->counted) mark(cell);
  }
}

/// Works out what is pending; users of a cell stand behind it in the order.
void Sheet::work_off(std::size_t row) {
  changes_.clear();
  std::size_t place = 0;
  while (const auto next = pending_.take(place)) {
    place = *next;
    const CellId id = template_->order[place];
    if (id == Template::dates_turn) {
      dates_before_.clear();
      for (const CellId date : template_->dates.cells) dates_before_.push_back(value(date, row));
      fill_dates(desk_, remarks_, row, row + 1);
      for (std::size_t i = 0; i < dates_before_.size(); ++i) {
        note_change(template_->dates.cells[i], row, dates_before_[i]);
      }
    } else if (!columns_.is_same(id)) {
      const double before = value(id, row);
      fill(desk_.evaluator, id, row, row + 1);
      note_change(id, row, before);
    }
  }
}

void Sheet::note_change(CellId id, std::size_t row, double before) {
  const double after = columns_.at(id, row);
  const bool stays = std::bit_cast<std::uint64_t>(before) == std::bit_cast<std::uint64_t>(after) ||
                     (std::isnan(before) && std::isnan(after));
  if (stays) return;
  changes_.push_back({id, before, after});
  const Cell& cell = template_->cell(id);
  for (const CellId user : cell.used_by) mark(user);
  if (cell.bounds_dates) mark(template_->ready);
}

}  // namespace budwood::sheet
