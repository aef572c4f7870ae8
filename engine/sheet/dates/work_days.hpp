/// The day on which a work of a stage is done. `daily` and `every` give way, `on day` does not, and
/// looks are moved to the nearest day on which somebody is there.
#pragma once

#include <optional>

#include "calendar/calendar.hpp"
#include "language/model.hpp"

namespace budwood::sheet {

using calendar::Day;

/// The first and the last day of a stage.
struct StageReach {
  Day first = 0, last = 0;
};
/// Of a stage of `length` days.
StageReach reach_of(Day start, int length);

/// Whether work due so many days after the start of its stage, 0 for its first day, must find
/// people within its limits, so that the stage can only start on days that allow it.
bool must_find_people(const language::Work& work, int due);

/// Whether a stage of so many days begins by work of its first day: by anything but looks and work
/// that repeats.
bool begins_by_work(const language::Stage& stage, int length);

/// The last day on which work due on `due` may be done, when its stage is over after `last`. Both
/// are days, or both are counted from the start of the stage.
Day latest_day(const language::Work& work, Day due, Day last);

/// The day on which work due on `due` is done: that day, or with a crew the first working day
/// within its limits and before the stage is over. A look that finds none takes the nearest working
/// day of the stage, before or after (of two the one before), a look that repeats only one between
/// its turns before and after. Nothing when there is none.
std::optional<Day> work_day(const language::Work& work, Day due, const StageReach& stage,
                            const calendar::WorkingDays& working);

}  // namespace budwood::sheet
