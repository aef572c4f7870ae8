#include "sheet/sheet.hpp"

#include <algorithm>

#include "sheet/columns/given.hpp"
#include "sheet/row.hpp"
#include "threads/threads.hpp"

namespace budwood::sheet {

namespace {

/// Of so many, some tenths of a millisecond are spent even on the plainest protocol.
constexpr std::size_t rows_a_piece = 2 * block_size;

}  // namespace

Sheet::Sheet(std::shared_ptr<const Template> t, Site site)
    : template_(std::move(t)),
      site_(std::make_unique<Site>(std::move(site))),
      columns_(template_->cells.size()),
      pending_(template_->order.size()),
      site_pending_(template_->order.size()) {
  fill_same();
}

/// Plans of dates are not copied: they look at the other's site.
Sheet::Sheet(const Sheet& other)
    : template_(other.template_),
      site_(std::make_unique<Site>(*other.site_)),
      batches_(other.batches_),
      columns_(other.columns_),
      remarks_(other.remarks_),
      pending_(template_->order.size()),
      site_pending_(template_->order.size()) {}

std::size_t Sheet::add(BatchFacts batch) {
  batches_.push_back(std::move(batch));
  return batches_.size() - 1;
}

ProgramContext Sheet::context() const {
  const Template& t = *template_;
  return {t.protocol, t.works, t.stages, site_->working, site_->shift_seconds, &t};
}

double Sheet::answer(std::span<const Instruction> program, std::size_t row) const {
  return Evaluator().run(program, context(), columns_, row);
}

StageClimate Sheet::climate(StageId stage, std::size_t row) const {
  return {template_->protocol, template_->stages, columns_, row, stage};
}

const DateConflict* Sheet::conflict(std::size_t row) const {
  const auto found = remarks_.conflicts.find(row);
  return found == remarks_.conflicts.end() ? nullptr : found->second.get();
}

const std::vector<Deviation>& Sheet::deviations(std::size_t row) const {
  static const std::vector<Deviation> none;
  const auto found = remarks_.deviations.find(row);
  return found == remarks_.deviations.end() ? none : *found->second;
}

/// What rests on nothing but the protocol is worked out once.
void Sheet::fill_same() {
  const Template& t = *template_;
  const ProgramContext context = this->context();
  for (const CellId id : t.order) {
    if (id == Template::dates_turn || t.cell(id).kind != Cell::Kind::formula) continue;
    if (t.can_be_counted(id) || !looks_at_cells_alone(t.program(id))) continue;
    const std::vector<CellId>& uses = t.cell(id).uses;
    const bool same =
        std::all_of(uses.begin(), uses.end(), [&](CellId used) { return columns_.is_same(used); });
    if (same) columns_.set_same(id, desk_.evaluator.run(t.program(id), context, columns_, 0));
  }
}

void Sheet::evaluate() {
  columns_.resize(size());
  remarks_ = {};
  const threads::Pieces pieces{size(), rows_a_piece};
  const std::size_t workers = std::min(threads::at_once(), pieces.number());
  std::vector<Desk> others(workers);
  std::vector<Remarks> remarks(pieces.number());
  threads::each_piece(
      pieces.number(),
      [&](std::size_t piece, std::size_t worker) {
        Desk& desk = worker == 0 ? desk_ : others[worker];
        const std::size_t end = pieces.end(piece);
        for (std::size_t begin = pieces.begin(piece); begin < end; begin += block_size) {
          evaluate_rows(desk, remarks[piece], begin, std::min(end, begin + block_size));
        }
      },
      workers);
  for (Remarks& one : remarks) remarks_.take(std::move(one));
}

/// All cells of some rows before the next ones, so that what is read again is still at hand.
void Sheet::evaluate_rows(Desk& desk, Remarks& remarks, std::size_t begin, std::size_t end) {
  for (const CellId id : template_->order) {
    if (id == Template::dates_turn) {
      fill_dates(desk, remarks, begin, end);
    } else if (!columns_.is_same(id)) {
      fill(desk.evaluator, id, begin, end);
    }
  }
}

void Sheet::fill(Evaluator& evaluator, CellId id, std::size_t begin, std::size_t end) {
  const Template& t = *template_;
  double* column = columns_.begin(id);
  switch (t.cell(id).kind) {
    case Cell::Kind::ordered:
      for (std::size_t row = begin; row < end; ++row) column[row] = batches_[row].plants;
      return;
    case Cell::Kind::sure:
      for (std::size_t row = begin; row < end; ++row) column[row] = batches_[row].sure;
      return;
    case Cell::Kind::lead:
      for (std::size_t row = begin; row < end; ++row) column[row] = batches_[row].lead ? 1 : 0;
      return;
    case Cell::Kind::date:
      return;
    case Cell::Kind::input:
      if (const auto value = site_->value_of(id)) {
        std::fill(column + begin, column + end, *value);
      } else {
        evaluator.run(t.program(id), context(), columns_, begin, end, column);
      }
      for (std::size_t row = begin; row < end; ++row) {
        if (const auto value = given(batches_[row].inputs, id)) column[row] = *value;
      }
      return;
    case Cell::Kind::formula:
      evaluator.run(t.program(id), context(), columns_, begin, end, column);
      if (!t.can_be_counted(id)) return;
      for (std::size_t row = begin; row < end; ++row) {
        if (const auto value = given(batches_[row].counted, id)) column[row] = *value;
      }
      return;
  }
}

void Sheet::fill_dates(Desk& desk, Remarks& remarks, std::size_t begin, std::size_t end) {
  if (!desk.dates) desk.dates = std::make_unique<DatePlans>(*template_, *site_, columns_);
  const std::vector<CellId>& cells = template_->dates.cells;
  for (std::size_t row = begin; row < end; ++row) {
    const PlannedDates& planned = desk.dates->plan(batches_[row], columns_, row);
    remarks.set(row, planned);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      columns_.set(cells[i], row, planned.values.empty() ? no_value : planned.values[i]);
    }
  }
}

void Sheet::Remarks::set(std::size_t row, const PlannedDates& dates) {
  const auto set = [row](auto& remarks, const auto& remark) {
    if (remark) {
      remarks.insert_or_assign(row, remark);
    } else if (!remarks.empty()) {
      remarks.erase(row);
    }
  };
  set(conflicts, dates.conflict);
  set(deviations, dates.deviations);
}

void Sheet::Remarks::take(Remarks of_others) {
  conflicts.merge(of_others.conflicts);
  deviations.merge(of_others.deviations);
}

int Row::days_with_wait(StageId id) const {
  int out = days(cells(id).days);
  for (const StageId next : protocol().stages.ids()) {
    if (language::takes_from(stage(next), id)) out = std::max(out, start(next) - start(id));
  }
  return out;
}

std::optional<LastCount> last_count(const Row& row, const Chain& chain) {
  return last_count(row.layout(), row.facts().counted, chain);
}

namespace {

/// What was counted at pickings, up to the last of them that was.
std::optional<LastCount> counted_portions(const StageCells& cells, const GivenValues& counted) {
  LastCount out;
  out.partly = true;
  for (std::size_t i = 0; i < cells.picked.size(); ++i) {
    const auto plants = given(counted, cells.picked[i]);
    if (!plants) continue;
    out.plants += *plants;
    out.pickings = i + 1;
  }
  out.graded = std::any_of(cells.grades.begin(), cells.grades.end(),
                           [&](CellId grade) { return given(counted, grade).has_value(); });
  return out.pickings > 0 || out.graded ? std::optional(out) : std::nullopt;
}

}  // namespace

std::optional<LastCount> last_count(const Template& t, const GivenValues& counted,
                                    const Chain& chain) {
  std::optional<LastCount> out;
  for (std::size_t i = 0; i < chain.stages.size(); ++i) {
    const StageCells& cells = t.stages[chain.stages[i]];
    if (const auto plants = given(counted, cells.left)) {
      out = {i, *plants};
    } else if (const auto portions = counted_portions(cells, counted)) {
      out = portions;
      out->place = i;
    }
  }
  return out;
}

}  // namespace budwood::sheet
