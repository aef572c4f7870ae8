#include "sheet/dates/work_days.hpp"

#include <algorithm>

#include "sheet/columns/program.hpp"

namespace budwood::sheet {

using language::Timing;

namespace {

/// Only what would have to find people gives way: a turn that may be left out is left out.
bool is_moved_look(const language::Work& work, int due) {
  return work.timing.must && due > 0 && language::is_look(work);
}

std::optional<Day> nearest_day(const language::Work& work, Day due, const StageReach& stage,
                               const calendar::DaySet& working) {
  Day first = stage.first;
  Day last = stage.last;
  if (work.timing.kind == Timing::Kind::repeat) {
    first = std::max(first, due - work.timing.interval + 1);
    last = std::min(last, due + work.timing.interval - 1);
  }
  std::optional<Day> before = working.previous(due);
  if (before && *before < first) before.reset();
  std::optional<Day> after = working.next(due);
  if (after && *after > last) after.reset();
  if (!before || !after) return before ? before : after;
  return due - *before <= *after - due ? before : after;
}

}  // namespace

StageReach reach_of(Day start, int length) {
  return {start, start + last_offset(length)};
}

bool must_find_people(const language::Work& work, int due) {
  return !work.crew.empty() && work.timing.must && !is_moved_look(work, due);
}

bool begins_by_work(const language::Stage& stage, int length) {
  return std::any_of(stage.works.begin(), stage.works.end(), [&](const language::Work& work) {
    if (work.timing.kind == Timing::Kind::repeat || language::is_look(work)) return false;
    bool first = false;
    for_each_due_day(work.timing, length, [&](int due) { first = first || due == 0; });
    return first;
  });
}

Day latest_day(const language::Work& work, Day due, Day last) {
  return std::min(due + work.timing.within, std::max(due, last));
}

std::optional<Day> work_day(const language::Work& work, Day due, const StageReach& stage,
                            const calendar::WorkingDays& working) {
  if (work.crew.empty()) return due;
  const std::optional<Day> day = working.days().next(due);
  if (day && *day <= latest_day(work, due, stage.last)) return day;
  if (!is_moved_look(work, due - stage.first)) return std::nullopt;
  return nearest_day(work, due, stage, working.days());
}

}  // namespace budwood::sheet
