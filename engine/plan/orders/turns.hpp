/// When a work is done. `daily` and `every` give way, `on day` does not: work with a crew on a
/// stated day makes the stage start on a day that allows it, while a turn that repeats moves to
/// the next working day before its next turn, or is left out with a note. Otherwise daily work
/// would forbid every weekend.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "sheet/row.hpp"
#include "sheet/site/site.hpp"

namespace budwood::plan {

using language::StageId;
using language::WorkId;

/// One of the times at which a batch does a work of a stage.
struct Turn {
  std::uint16_t occurrence = 0;  ///< from 1
  calendar::Day due = 0;
  std::optional<calendar::Day> date;  ///< none: nobody works on the day, nor on another in time
};

/// The planned first and last day of a stage of a row that has dates.
struct StageSpan {
  calendar::Day first = 0;
  calendar::Day last = 0;
};
StageSpan stage_span(const sheet::Row& row, StageId stage);

/// The days on which a work of the stage may be done: those of the stage, and while its plants wait
/// for the next one where the work goes on then.
StageSpan work_span(const sheet::Row& row, StageId stage, WorkId work);

/// The turns of a work, by the day on which they fall due.
std::vector<Turn> turns_of(const sheet::Row& row, StageId stage, WorkId work);

/// The last day on which a turn of the work may be done.
calendar::Day latest_day(const language::Work& work, calendar::Day due, const StageSpan& span);

}  // namespace budwood::plan
