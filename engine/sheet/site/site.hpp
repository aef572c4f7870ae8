#pragma once

#include <algorithm>
#include <memory>
#include <utility>
#include <vector>

#include "calendar/calendar.hpp"
#include "climate/climate.hpp"
#include "sheet/columns/given.hpp"
#include "sheet/template/template.hpp"

namespace budwood::sheet {

using calendar::Day;

/// What of a site bears on the cells of its batches.
struct Site {
  calendar::WorkingDays working;
  bool southern = false;              ///< seasons move by half a year
  bool stand_in = false;              ///< no real site, so its dates mean nothing to anybody
  double shift_seconds = 8 * 3600.0;  ///< what fits it falls on one day
  std::shared_ptr<const climate::DailySeries> series;  ///< its temperatures, if it has any
  std::vector<std::pair<CellId, double>> inputs;       ///< the site's own values, base units
  /// What its record taught, where the site itself says nothing.
  std::vector<std::pair<CellId, double>> learned;

  /// What is given for an input before the protocol's own value; nothing: that holds.
  std::optional<double> value_of(CellId input) const {
    const auto own = given(inputs, input);
    return own ? own : given(learned, input);
  }
};

/// A date that a batch fixes.
struct Pin {
  language::StageId stage;
  bool end = false;
  Day day = 0;
  bool recorded = false;  ///< it has happened on that day; else it is only wanted
  text::Span span{};      ///< where it is written, if anywhere
  bool levelled = false;  ///< levelling chose it, and may choose another
  bool inferred = false;  ///< nobody noted it: it follows from what was noted
};

/// What a batch brings: a row of a sheet.
struct BatchFacts {
  double plants = 0;
  double sure = 0;   ///< above 0 and below 1: how likely the plants must be reached; 0: on average
  bool lead = true;  ///< false: what does not grow with the plants is done with another batch
  std::optional<Day> ready{};  ///< ready by this day, as late as can be
  std::optional<Day> start{};  ///< its first stage starts on this day, all else as early as can be
  std::optional<Day> not_before{};  ///< starts on this day or later, ready as early as can be
  /// The day from which its plan goes on: what has not happened does not happen before.
  std::optional<Day> today{};
  std::vector<std::pair<CellId, double>> inputs{};
  std::vector<CellId> from_lots{};  ///< of these inputs: what the tests of its lots say
  std::vector<Pin> pins{};
  /// Stages that were not over by the end of a day, as far as work that was done shows it.
  std::vector<std::pair<StageId, Day>> lasted{};
  /// By `left` of a stage: how many were counted when it was over, instead of what was expected.
  std::vector<std::pair<CellId, double>> counted{};

  /// The date of a stage that has happened; nullptr when nobody noted it.
  const Pin* recorded(StageId stage, bool end) const {
    for (const Pin& pin : pins) {
      if (pin.recorded && pin.stage == stage && pin.end == end) return &pin;
    }
    return nullptr;
  }
  bool by_lots(CellId input) const {
    return std::find(from_lots.begin(), from_lots.end(), input) != from_lots.end();
  }
  /// The day before which nothing starts, of a batch that says so.
  std::optional<Day> first_day() const { return start ? start : not_before; }
};

/// Where people work every day; and a batch of so many plants, half way through the calendar so
/// that no plan leaves it. With these a protocol is tried out.
inline Site stand_in_site() {
  Site site;
  site.stand_in = true;
  return site;
}
inline BatchFacts stand_in_batch(double plants) {
  BatchFacts batch;
  batch.plants = plants;
  batch.ready = calendar::last_day / 2;
  return batch;
}

}  // namespace budwood::sheet
