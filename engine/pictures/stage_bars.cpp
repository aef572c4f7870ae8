#include "pictures/stage_bars.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::pictures {

std::vector<StageBar> bars_of(const plan::Plan& plan, const plan::BatchPlan& batch) {
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  std::vector<StageBar> out;
  for (std::size_t s = 0; s < sheet.layout().stages.size(); ++s) {
    const sheet::StageCells& cells = sheet.layout().stages[s];
    const auto day = [&](sheet::CellId cell, calendar::Day otherwise) {
      const double value = sheet.value(cell, batch.row);
      return std::isnan(value) ? otherwise : static_cast<calendar::Day>(value);
    };
    StageBar bar;
    bar.stage = s;
    bar.start = day(cells.start, 0);
    bar.end = day(cells.end, bar.start);
    bar.earliest = day(cells.earliest, bar.end);
    bar.latest = day(cells.latest, bar.end);
    bar.waits = plan::waiting_days(sheet, batch.row, s);
    bar.plants = sheet.value(cells.plants, batch.row);
    bar.left = sheet.value(cells.left, batch.row);
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
