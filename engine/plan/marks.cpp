#include "plan/marks.hpp"
#include "sheet/columns/given.hpp"

namespace budwood::plan {

namespace {

using sheet::CellId;

/// A date that the batch sets: the day by which it is to be ready, or one of a stage that it fixes
/// or has seen.
Mark mark_of_date(const sheet::Sheet& sheet, CellId cell, std::size_t row) {
  if (cell == sheet.layout().ready) {
    return sheet.batch(row).ready ? Mark::batch : Mark::none;
  }
  Mark out = Mark::none;
  for (const sheet::Pin& pin : sheet.batch(row).pins) {
    const sheet::StageCells& cells = sheet.layout().stages[static_cast<std::size_t>(pin.stage)];
    if ((pin.end ? cells.end : cells.start) != cell) continue;
    if (pin.recorded) return Mark::recorded;
    out = Mark::pinned;
  }
  return out;
}

}  // namespace

Mark mark_of(const sheet::Sheet& sheet, CellId cell, std::size_t row) {
  const sheet::BatchFacts& facts = sheet.batch(row);
  switch (sheet.layout().cell(cell).kind) {
    case sheet::Cell::Kind::date:
      return mark_of_date(sheet, cell, row);
    case sheet::Cell::Kind::ordered:
      return Mark::batch;
    case sheet::Cell::Kind::sure:
      return facts.sure > 0 ? Mark::batch : Mark::none;
    case sheet::Cell::Kind::lead:
      return Mark::none;
    case sheet::Cell::Kind::input:
      if (sheet::given(facts.inputs, cell)) return Mark::batch;
      return sheet::given(sheet.site().inputs, cell) ? Mark::site : Mark::none;
    case sheet::Cell::Kind::formula:
      return sheet::given(facts.counted, cell) ? Mark::recorded : Mark::none;
  }
  return Mark::none;
}

std::string layer_of(const sheet::Sheet& sheet, CellId cell, std::size_t row) {
  using Kind = sheet::Cell::Kind;
  const sheet::Cell& what = sheet.layout().cell(cell);
  const Mark mark = mark_of(sheet, cell, row);
  if (mark == Mark::site) return "site";
  const bool of_batch =
      what.kind == Kind::ordered || what.kind == Kind::sure || what.kind == Kind::lead;
  if (mark != Mark::none || of_batch) return "batch";
  const language::Protocol& protocol = sheet.layout().protocol;
  const language::Layer* layer = language::layer_of(protocol, what.span);
  if (layer == nullptr || layer == &protocol.layers.front()) return "protocol";
  return layer->name + " edition " + std::to_string(layer->edition);
}

}  // namespace budwood::plan
