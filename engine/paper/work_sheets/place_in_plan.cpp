#include "paper/work_sheets/place_in_plan.hpp"

#include <algorithm>

#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::paper {

namespace {

calendar::Day day_of(const sheet::Sheet& sheet, sheet::CellId cell, std::size_t row) {
  return static_cast<calendar::Day>(sheet.value(cell, row));
}

/// What comes after a stage: those that take its plants, or the day on which they are ready.
std::vector<PlaceInPlan::Next> next_of(const plan::Plan& plan, const plan::BatchPlan& batch,
                                       std::size_t stage) {
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  const std::vector<language::Stage>& stages = plan.protocol_of(batch).stages;
  std::vector<PlaceInPlan::Next> out;
  for (std::size_t s = 0; s < stages.size(); ++s) {
    const auto& takes = stages[s].takes;
    if (std::find(takes.begin(), takes.end(), static_cast<std::int32_t>(stage)) == takes.end()) {
      continue;
    }
    out.push_back({report::shown_name(stages[s]) + " from",
                   day_of(sheet, sheet.layout().stages[s].start, batch.row)});
  }
  if (out.empty()) out.push_back({"ready on", day_of(sheet, sheet.layout().ready, batch.row)});
  return out;
}

}  // namespace

PlaceInPlan place_in_plan(const plan::Plan& plan, const plan::BatchPlan& batch, std::size_t stage,
                          calendar::Day day) {
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  const sheet::StageCells& cells = sheet.layout().stages[stage];
  const std::vector<language::Stage>& stages = plan.protocol_of(batch).stages;
  const int number = day - day_of(sheet, cells.start, batch.row) + 1;
  const int days = std::max(1, static_cast<int>(sheet.value(cells.days, batch.row)));
  PlaceInPlan out;
  out.now = report::shown_name(stages[stage]) + ", stage " + std::to_string(stage + 1) + " of " +
            std::to_string(stages.size());
  out.now +=
      number <= days ? ", day " + std::to_string(number) + " of " + std::to_string(days) : ", over";
  out.next = next_of(plan, batch, stage);
  return out;
}

}  // namespace budwood::paper
