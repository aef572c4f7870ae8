#include "office/workbooks/grid.hpp"
#include "report/sheet/sheet_cells.hpp"

namespace budwood::office {

namespace {

using report::Reading;

void write_reading(Grid& grid, const Reading& reading, std::string_view sign) {
  switch (reading.kind) {
    case Reading::Kind::none:
      grid.blank();
      return;
    case Reading::Kind::text:
      grid.as(Show::text, sign).text(reading.shown);
      return;
    case Reading::Kind::date:
      grid.as(Show::date, sign).date_value(reading.value);
      return;
    case Reading::Kind::hours:
      grid.as(Show::hours, sign).number(reading.number());
      return;
    case Reading::Kind::money:
      grid.as(Show::money, sign).number(reading.number());
      return;
    case Reading::Kind::share:
    case Reading::Kind::amount:
      grid.as(Show::number, sign).number(reading.number());
      return;
  }
}

/// The unit of a value, the same for all batches; dates have none.
std::string unit_of(const std::vector<Reading>& readings) {
  for (const Reading& reading : readings) {
    if (reading.kind == Reading::Kind::none || reading.kind == Reading::Kind::date) continue;
    return reading.unit_name();
  }
  return "";
}

std::size_t add_part(WorkbookFile& file, const plan::Plan& plan, const report::SheetPart& part) {
  const sheet::Sheet& sheet = plan.sheets[part.sheet];
  const language::Protocol& protocol = sheet.layout().protocol;
  std::vector<Column> columns = {
      {"Stage", Show::text, 16}, {"Value", Show::text, 26}, {"Unit", Show::text, 10}};
  const int names = static_cast<int>(columns.size());
  for (const plan::BatchPlan* batch : part.batches) {
    columns.push_back({plan.facts_of(*batch).id.value, Show::number, 13});
  }
  Grid& grid = file.add(protocol.name, std::move(columns), names);
  std::size_t rows = 0;
  for (const report::CellGroup& group : part.groups) {
    for (const sheet::CellId cell : group.cells) {
      if (!file.ok()) return rows;
      std::vector<Reading> readings;
      for (const plan::BatchPlan* batch : part.batches) {
        readings.push_back(report::cell_reading(plan.row_of(*batch), cell, part.units[cell]));
      }
      grid.text(group.stage).text(sheet.layout().cell(cell).name).text(unit_of(readings));
      for (std::size_t i = 0; i < readings.size(); ++i) {
        const auto mark = plan::mark_of(plan.row_of(*part.batches[i]), cell);
        write_reading(grid, readings[i], report::mark_sign(mark));
      }
      grid.end_row();
      ++rows;
    }
  }
  return rows;
}

/// What the signs mean, in a book that says no more of itself.
void add_signs(WorkbookFile& file, const plan::Plan& plan) {
  Grid& grid = file.add("Signs", {{"Sign", Show::text, 8}, {"The value is", Show::text, 40}});
  for (const plan::Mark mark : report::marks_in(plan)) {
    grid.text(report::mark_sign(mark)).text(report::mark_meaning(mark)).end_row();
  }
}

}  // namespace

Workbook sheet_workbook(const plan::Plan& plan, const report::SheetView& view) {
  WorkbookFile file(plan);
  std::size_t rows = 0;
  for (const report::SheetPart& part : report::sheet_parts(plan, view)) {
    rows += add_part(file, plan, part);
  }
  add_signs(file, plan);
  return file.finish(rows);
}

}  // namespace budwood::office
