#include "plan/marks.hpp"
#include "sheet/columns/given.hpp"

namespace budwood::plan {

namespace {

using sheet::CellId;

/// A date that the batch sets: the day by which it is to be ready, or one of a stage that it fixes
/// or has seen.
Mark mark_of_date(const sheet::Row& row, CellId cell) {
  if (cell == row.layout().ready) return row.facts().ready ? Mark::batch : Mark::none;
  Mark out = Mark::none;
  for (const sheet::Pin& pin : row.facts().pins) {
    const sheet::StageCells& cells = row.cells(pin.stage);
    if ((pin.end ? cells.end : cells.start) != cell) continue;
    if (pin.recorded) return Mark::recorded;
    out = Mark::pinned;
  }
  return out;
}

}  // namespace

Mark mark_of(const sheet::Row& row, CellId cell) {
  const sheet::BatchFacts& facts = row.facts();
  switch (row.layout().cell(cell).kind) {
    case sheet::Cell::Kind::date:
      return mark_of_date(row, cell);
    case sheet::Cell::Kind::ordered:
      return Mark::batch;
    case sheet::Cell::Kind::sure:
      return facts.sure > 0 ? Mark::batch : Mark::none;
    case sheet::Cell::Kind::lead:
      return Mark::none;
    case sheet::Cell::Kind::input:
      if (sheet::given(facts.inputs, cell)) return facts.by_lots(cell) ? Mark::lot : Mark::batch;
      if (sheet::given(row.sheet().site().inputs, cell)) return Mark::site;
      return sheet::given(row.sheet().site().learned, cell) ? Mark::learned : Mark::none;
    case sheet::Cell::Kind::formula:
      return sheet::given(facts.counted, cell) ? Mark::recorded : Mark::none;
  }
  return Mark::none;
}

std::string layer_of(const sheet::Row& row, CellId cell) {
  using Kind = sheet::Cell::Kind;
  const sheet::Cell& what = row.layout().cell(cell);
  const Mark mark = mark_of(row, cell);
  if (mark == Mark::site) return "site";
  if (mark == Mark::learned) return "learned";
  if (mark == Mark::lot) return "lots";
  const bool of_batch =
      what.kind == Kind::ordered || what.kind == Kind::sure || what.kind == Kind::lead;
  if (mark != Mark::none || of_batch) return "batch";
  const language::Protocol& protocol = row.protocol();
  const language::Layer* layer = language::layer_of(protocol, what.span);
  if (layer == nullptr || layer == &protocol.layers.front()) return "protocol";
  return layer->name + " edition " + std::to_string(layer->edition);
}

}  // namespace budwood::plan
