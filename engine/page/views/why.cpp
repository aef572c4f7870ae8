#include <sstream>

#include "page/views/views.hpp"
#include "report/sheet/sheet_cells.hpp"
#include "report/why/why.hpp"
#include "sheet/template/cell_names.hpp"

namespace budwood::page {

namespace {

/// Paragraphs are laid out by the browser, so the engine is given a page on which none wraps.
constexpr std::size_t endless_line = 1U << 20U;

Json paragraphs_of(const std::string& text) {
  Json out = Json::array();
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    const std::size_t begin = line.find_first_not_of(' ');
    if (begin == std::string::npos) continue;
    out.push_back({{"depth", begin / 2}, {"text", line.substr(begin)}});
  }
  return out;
}

/// `start` is the day on which the batch is started: the start of its first stage.
sheet::CellId cell_named(const sheet::Row& row, const std::string& name) {
  const sheet::CellId found = sheet::find_cell(row.layout(), name);
  if (found != sheet::no_cell || (name != "start" && name != "batch.start")) return found;
  sheet::CellId first = sheet::no_cell;
  for (const sheet::StageCells& stage : row.layout().stages) {
    if (first == sheet::no_cell || row.value(stage.start) < row.value(first)) first = stage.start;
  }
  return first;
}

}  // namespace

Json why_view(const Snapshot& now, const Question& question) {
  const plan::BatchPlan* batch = now.batch(question["batch"]);
  if (batch == nullptr) return nullptr;
  const sheet::Row row = now.plan.row_of(*batch);
  const sheet::CellId cell = cell_named(row, question["cell"]);
  if (cell == sheet::no_cell) {
    return {{"missing", true}, {"advice", sheet::cell_advice(row.layout(), question["cell"])}};
  }
  const bool all = question["all"] == "1";
  report::Style style;
  style.width = endless_line;
  style.for_all = "\"Every step\"";
  std::ostringstream why;
  report::write_why(why, now.plan, *batch, cell, all, style);
  std::ostringstream uses;
  report::write_uses(uses, now.plan, *batch, cell, all, style);
  Json cells = Json::array();
  for (const sheet::Cell& one : row.layout().cells) cells.push_back(one.name);
  const units::Unit unit = report::cell_unit(now.plan.sheet_of(*batch), cell);
  return {{"batch", question["batch"]},
          {"cell", row.layout().cell(cell).name},
          {"value", report::cell_reading(row, cell, unit).shown},
          {"why", paragraphs_of(why.str())},
          {"uses", paragraphs_of(uses.str())},
          {"cells", std::move(cells)}};
}

}  // namespace budwood::page
