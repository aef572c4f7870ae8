#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

#include "page/views/views.hpp"
#include "plan/marks.hpp"
#include "report/formats/wording.hpp"
#include "report/sheet/sheet_cells.hpp"

namespace budwood::page {

namespace {

constexpr std::size_t most_rows = 200;  ///< in one answer

report::SheetView view_of(const Question& question) {
  report::SheetView view;
  if (question["all"] == "1") view.patterns = {"*"};
  return view;
}

/// How a cell is changed: as an input or date of the batch, as something that was counted; "" when
/// it is worked out.
std::string change_of(const sheet::Template& t, sheet::CellId id) {
  const std::string& name = t.cell(id).name;
  if (id == t.ordered || id == t.ready || id == t.sure) return name.substr(name.find('.') + 1);
  if (std::find(t.inputs.begin(), t.inputs.end(), id) != t.inputs.end()) return name;
  for (const sheet::StageCells& stage : t.stages) {
    if (id == stage.start || id == stage.end) return name;
    if (id == stage.left) return "counted";
  }
  return "";
}

/// The part of a sheet with the cells that are shown; the units are those of the live sheet.
std::optional<report::SheetPart> part_of(const Snapshot& now, const Question& question) {
  const std::size_t wanted = question.number("sheet", 0);
  for (report::SheetPart& part : report::sheet_parts(now.plan, view_of(question))) {
    if (part.sheet == wanted) return std::move(part);
  }
  return std::nullopt;
}

std::vector<sheet::CellId> cells_of(const report::SheetPart& part) {
  std::vector<sheet::CellId> out;
  for (const report::CellGroup& group : part.groups) {
    out.insert(out.end(), group.cells.begin(), group.cells.end());
  }
  return out;
}

std::string title_of(const sheet::Template& t, sheet::CellId id) {
  for (std::size_t i = 0; i < t.inputs.size(); ++i) {
    if (t.inputs[i] == id) return t.protocol.inputs[i].title;
  }
  return "";
}

/// The batches of a part, by what they have in a cell.
void sort_by(const Snapshot& now, std::size_t sheet, sheet::CellId cell, bool down,
             std::vector<const plan::BatchPlan*>& batches) {
  const sheet::Sheet& live = now.live->sheets()[sheet];
  const auto value = [&](const plan::BatchPlan* one) { return live.value(cell, one->row); };
  std::stable_sort(batches.begin(), batches.end(), [&](const auto* a, const auto* b) {
    const double x = value(a);
    const double y = value(b);
    if (std::isnan(x) || std::isnan(y)) return !std::isnan(x) && std::isnan(y);  // none goes last
    return down ? x > y : x < y;
  });
}

std::vector<const plan::BatchPlan*> batches_of(const Snapshot& now, const Question& question,
                                               const report::SheetPart& part) {
  std::vector<const plan::BatchPlan*> out;
  const std::string& filter = question["filter"];
  for (const plan::BatchPlan* batch : part.batches) {
    const book::Batch& facts = now.plan.facts_of(*batch);
    const bool fits = filter.empty() || batch_label(facts).find(filter) != std::string::npos ||
                      facts.note.find(filter) != std::string::npos;
    if (fits) out.push_back(batch);
  }
  const sheet::Template& t = now.plan.sheets[part.sheet].layout();
  const sheet::CellId cell = t.find(question["sort"]);
  if (cell != sheet::no_cell) sort_by(now, part.sheet, cell, question["down"] == "1", out);
  return out;
}

}  // namespace

Json sheet_view(const Snapshot& now, const Question& question) {
  Json sheets = Json::array();
  for (const report::SheetPart& part : report::sheet_parts(now.plan, {})) {
    const language::Protocol& protocol = now.plan.sheets[part.sheet].layout().protocol;
    sheets.push_back({{"sheet", part.sheet},
                      {"title", report::protocol_text(protocol)},
                      {"batches", part.batches.size()}});
  }
  Json out = {{"turn", now.turn}, {"sheets", std::move(sheets)}, {"signs", Json::array()}};
  for (const plan::Mark mark : report::marks_in(now.plan)) {
    out["signs"].push_back(
        {{"sign", report::mark_sign(mark)}, {"means", report::mark_meaning(mark)}});
  }
  const auto part = part_of(now, question);
  if (!part) return out;
  const sheet::Template& t = now.plan.sheets[part->sheet].layout();
  Json groups = Json::array();
  for (const report::CellGroup& group : part->groups) {
    Json cells = Json::array();
    for (const sheet::CellId id : group.cells) {
      const bool date = t.cell(id).type.kind == language::Type::Kind::date;
      cells.push_back({{"name", t.cell(id).name},
                       {"title", title_of(t, id)},
                       {"unit", date ? "date" : now.live->unit(part->sheet, id).symbol},
                       {"change", change_of(t, id)}});
    }
    groups.push_back({{"title", group.title}, {"stage", group.stage}, {"cells", std::move(cells)}});
  }
  out["sheet"] = part->sheet;
  out["groups"] = std::move(groups);
  out["batches"] = batches_of(now, question, *part).size();
  return out;
}

Json rows_view(const Snapshot& now, const Question& question) {
  const auto part = part_of(now, question);
  Json rows = Json::array();
  if (!part) return {{"turn", now.turn}, {"rows", std::move(rows)}};
  const std::vector<sheet::CellId> cells = cells_of(*part);
  const auto batches = batches_of(now, question, *part);
  const std::size_t from = std::min(question.number("from", 0), batches.size());
  const std::size_t to =
      std::min({question.number("to", from + most_rows), batches.size(), from + most_rows});
  const sheet::Sheet& live = now.live->sheets()[part->sheet];
  for (std::size_t i = from; i < to; ++i) {
    const sheet::Row row(live, batches[i]->row);
    Json values = Json::array();
    std::string signs;
    for (const sheet::CellId id : cells) {
      values.push_back(report::cell_reading(row, id, now.live->unit(part->sheet, id)).shown);
      const std::string_view sign = report::mark_sign(plan::mark_of(row, id));
      signs += sign.empty() ? " " : std::string(sign);
    }
    const book::Batch& facts = now.plan.facts_of(*batches[i]);
    rows.push_back({{"batch", facts.id.value},
                    {"label", batch_label(facts)},
                    {"values", std::move(values)},
                    {"signs", std::move(signs)}});
  }
  return {{"turn", now.turn}, {"from", from}, {"rows", std::move(rows)}};
}

Json cells_json(const Snapshot& now, const LiveSheet::Outcome& outcome) {
  Json values = Json::array();
  // A cell can come up again: the last value is the one that holds.
  std::set<std::pair<sheet::BatchKey, sheet::CellId>> told;
  for (auto one = outcome.values.rbegin(); one != outcome.values.rend(); ++one) {
    if (!told.emplace(one->batch, one->cell).second) continue;
    const sheet::Sheet& sheet = now.live->sheets()[one->batch.sheet];
    const sheet::Row row(sheet, one->batch.row);
    const sheet::Cell& cell = sheet.layout().cell(one->cell);
    const units::Unit& unit = now.live->unit(one->batch.sheet, one->cell);
    const bool date = cell.type.kind == language::Type::Kind::date;
    const auto text = [&](double value) {
      return report::cell_reading(sheet.layout(), one->cell, unit, value).shown;
    };
    const book::Batch& facts = now.plan.facts_of(now.plan.batches[now.live->batch_of(one->batch)]);
    const std::string_view sign = report::mark_sign(plan::mark_of(row, one->cell));
    values.push_back({{"batch", facts.id.value},
                      {"cell", cell.name},
                      {"value", text(one->after)},
                      {"was", text(one->before)},
                      {"sign", sign.empty() ? " " : sign},
                      {"day", date ? number_json(one->after) : Json(nullptr)}});
  }
  std::reverse(values.begin(), values.end());
  return {{"values", std::move(values)}, {"complete", outcome.complete}};
}

}  // namespace budwood::page
