#include "paper/work_sheets/batch_head.hpp"

#include <cmath>
#include <sstream>

#include "paper/picture.hpp"
#include "pictures/pictures.hpp"
#include "report/demand/demand_report.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"
#include "report/orders/order_words.hpp"

namespace budwood::paper {

namespace {

std::string whole_number(double value) {
  return std::isnan(value) ? "-" : units::format_number(std::round(value));
}

/// The word behind a date that is no longer open.
std::string marked(const sheet::Row& row, sheet::CellId cell) {
  const std::string date = report::short_date(row.value(cell));
  switch (plan::mark_of(row, cell)) {
    case plan::Mark::recorded:
      return date + ", recorded";
    case plan::Mark::pinned:
      return date + ", fixed";
    default:
      return date;
  }
}

void write_stages(Html& html, const plan::Plan& plan, const plan::BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  const auto table = html.block("table", "plain");
  {
    const auto head = html.open("tr");
    for (const std::string_view name : {"Stage", "Start", "End"}) html.text("th", {}, name);
    for (const std::string_view name : {"Plants", "Left"}) html.text("th", "number", name);
    html.text("th", {}, "Room");
  }
  for (const language::StageId s : row.protocol().stages.ids()) {
    const sheet::StageCells& cells = row.cells(s);
    const auto line = html.open("tr");
    html.said("td", {}, report::shown_name(row.stage(s)));
    html.text("td", "day-of", marked(row, cells.start));
    html.text("td", "day-of", marked(row, cells.end));
    html.text("td", "number", whole_number(row.value(cells.plants)));
    html.text("td", "number", whole_number(row.value(cells.left)));
    html.said("td", "name", row.stage(s).room);
  }
}

void write_remarks(Html& html, const plan::Plan& plan, const std::string& id) {
  for (const plan::Conflict& conflict : plan.conflicts) {
    if (!plan::concerns(conflict, id)) continue;
    html.said("div", "alert", "Conflict: " + conflict.message);
  }
  for (const plan::Note& note : plan.notes) {
    if (note.batch == id) html.said("p", {}, "Note: " + note.message);
  }
}

}  // namespace

void write_batch_head(Html& html, const plan::Plan& plan, std::size_t number,
                      std::optional<calendar::Day> today) {
  const plan::BatchPlan& batch = plan.batches[number];
  const book::Batch& facts = plan.facts_of(batch);
  const sheet::Row row = plan.row_of(batch);
  html.said("p", {},
            report::plants_text(static_cast<double>(facts.plants.value), row.protocol().of_site) +
                (row.protocol().of_site ? " up to " : " ready on ") +
                report::short_date(row.value(row.layout().ready)) + ".");
  if (!facts.note.empty()) html.said("p", {}, facts.note);
  std::ostringstream picture;
  pictures::write_batch_plan(picture, plan, number, today);
  write_picture(html, picture.str(), "The plan of batch " + facts.id.value);
  write_stages(html, plan, batch);
  for (const std::string& line : report::portion_lines(plan, batch)) html.said("p", {}, line);
  for (const std::string& line : report::promise_lines(plan, batch)) html.said("p", {}, line);
  write_remarks(html, plan, facts.id.value);
}

}  // namespace budwood::paper
