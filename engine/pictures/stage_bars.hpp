#pragma once

#include <set>
#include <string>
#include <vector>

#include "drawing/drawing.hpp"
#include "plan/plan.hpp"

namespace budwood::pictures {

/// The dates of a stage of a batch, as bars show them. Private to this module.
struct StageBar {
  language::StageId stage;
  calendar::Day start = 0;
  calendar::Day end = 0;       ///< the day on which the next may start; `start` when over that day
  calendar::Day earliest = 0;  ///< of the end, under nature's ranges
  calendar::Day latest = 0;
  int waits = 0;                ///< days, from the end on
  double plants = 0, left = 0;  ///< NaNs where they are not known

  /// The last day that it takes.
  calendar::Day last() const { return std::max(start, end - 1); }
};

/// Of all stages of a batch that has dates, as in its protocol.
std::vector<StageBar> bars_of(const plan::Plan& plan, const plan::BatchPlan& batch);

/// Where a bar stands across; one that is over on its day is narrow.
drawing::Rect across(const drawing::DateAxis& axis, const StageBar& bar);

}  // namespace budwood::pictures
