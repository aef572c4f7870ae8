#include "pictures/stage_bars.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::pictures {

std::vector<StageBar> bars_of(const plan::Plan& plan, const plan::BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  std::vector<StageBar> out;
  for (const language::StageId s : row.protocol().stages.ids()) {
    const sheet::StageCells& cells = row.cells(s);
    StageBar bar;
    bar.stage = s;
    bar.start = row.day(cells.start);
    bar.end = row.day(cells.end);
    bar.earliest = row.known_day(cells.earliest).value_or(bar.end);
    bar.latest = row.known_day(cells.latest).value_or(bar.end);
    bar.waits = plan::waiting_days(row, s);
    bar.plants = row.value(cells.plants);
    bar.left = row.value(cells.left);
    out.push_back(bar);
  }
  return out;
}

drawing::Rect across(const drawing::DateAxis& axis, const StageBar& bar) {
  constexpr double narrowest = 3;
  constexpr double share_of_day = 0.4;
  const double left = axis.x_of(bar.start);
  const double width = bar.end > bar.start ? axis.x_of(bar.end) - left
                                           : std::max(narrowest, share_of_day * axis.day_width());
  return {left, 0, width, 0};
}

}  // namespace budwood::pictures
