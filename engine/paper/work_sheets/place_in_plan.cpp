#include "paper/work_sheets/place_in_plan.hpp"

#include <algorithm>

#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::paper {

namespace {

/// What comes after a stage: those that take its plants, or the day on which they are ready.
std::vector<PlaceInPlan::Next> next_of(const sheet::Row& row, language::StageId stage) {
  std::vector<PlaceInPlan::Next> out;
  for (const language::StageId s : row.protocol().stages.ids()) {
    if (!language::takes_from(row.stage(s), stage)) continue;
    out.push_back({report::shown_name(row.stage(s)) + " from", row.start(s)});
  }
  if (out.empty()) out.push_back({"ready on", *row.ready()});
  return out;
}

}  // namespace

PlaceInPlan place_in_plan(const plan::Plan& plan, const plan::BatchPlan& batch,
                          language::StageId stage, calendar::Day day) {
  const sheet::Row row = plan.row_of(batch);
  const int number = day - row.start(stage) + 1;
  const int days = std::max(1, row.days(row.cells(stage).days));
  PlaceInPlan out;
  out.now = report::shown_name(row.stage(stage)) + ", stage " + std::to_string(stage.number()) +
            " of " + std::to_string(row.protocol().stages.size());
  out.now +=
      number <= days ? ", day " + std::to_string(number) + " of " + std::to_string(days) : ", over";
  out.next = next_of(row, stage);
  return out;
}

}  // namespace budwood::paper
