#pragma once

#include <utility>
#include <vector>

#include "calendar/calendar.hpp"
#include "sheet/template.hpp"

namespace budwood::sheet {

using calendar::Day;

/// What of a site bears on the cells of its batches.
struct Site {
  calendar::WorkingDays working;
  double shift_seconds = 8 * 3600.0;              ///< what fits it falls on one day
  std::vector<std::pair<CellId, double>> inputs;  ///< the site's own values, base units
};

/// A date that a batch fixes.
struct Pin {
  std::int32_t stage = 0;
  bool end = false;
  Day day = 0;
  text::Span span{};  ///< where it is written, if anywhere
};

/// What a batch brings: a row of a sheet.
struct BatchFacts {
  double plants = 0;
  std::optional<Day> ready;  ///< ready by this day, as late as can be
  std::optional<Day> start;  ///< or: started on this day, ready as early as can be
  std::vector<std::pair<CellId, double>> inputs;
  std::vector<Pin> pins;
};

}  // namespace budwood::sheet
