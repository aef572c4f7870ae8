#include <algorithm>

#include "sheet/dates/dates.hpp"

/// What nature's ranges and waits leave open around the planned dates.
namespace budwood::sheet {

using calendar::DaySet;
using language::Stage;

/// The earliest and the latest start of a stage, when the ranges of all before it are known.
StageDates DatePlanner::start_range(const BatchFacts& batch, std::int32_t s) const {
  const Stage& stage = t_.protocol.stages[static_cast<std::size_t>(s)];
  StageDates range = stages_[static_cast<std::size_t>(s)];
  range.earliest = range.latest = range.start;
  const bool pinned = std::any_of(batch.pins.begin(), batch.pins.end(),
                                  [&](const Pin& pin) { return pin.stage == s && !pin.end; });
  const bool follows =
      !stage.takes.empty() || std::any_of(stage.after.begin(), stage.after.end(),
                                          [](const language::After& a) { return !a.within; });
  if (pinned || !follows) return range;
  range.earliest = range.latest = calendar::first_day;
  for (std::size_t i = 0; i < t_.dates.links.size(); ++i) {
    const DateLink& written = t_.dates.links[i];
    if (written.to != DateLayout::start_of(s) || written.within) continue;
    const int wait = network_.link(static_cast<network::LinkId>(i)).low.value_or(0);
    const StageDates& before = stages_[written.from / 2];
    range.earliest = std::max(range.earliest, before.earliest + wait);
    range.latest = std::max(range.latest, before.latest + wait);
  }
  return range;
}

/// The end of a stage that is free to start on `start` and takes the length in a cell. Past the
/// known temperatures it is the last known end.
std::optional<Day> DatePlanner::range_end(std::int32_t stage, CellId length, Day start,
                                          const Columns& columns, std::size_t row) {
  const bool by_series =
      language::follows_site(t_.protocol.stages[static_cast<std::size_t>(stage)]);
  std::optional<int> days;
  if (by_series) {
    days = site_.series ? StartDays::unknown_length : nominal_series_days;
  } else {
    days = days_in(columns, length, row, 0);
  }
  if (!days) return std::nullopt;
  const DaySet* allowed = start_days_.of(stage, *days);
  const Day from = allowed == nullptr ? start : allowed->next(start).value_or(start);
  if (*days != StartDays::unknown_length) return from + *days;
  const SeriesLength* known = series_lengths_.find(stage, length, columns, row);
  if (known == nullptr) return std::nullopt;
  const Day end = known->end_of(from).value_or(from);
  // A gate can hold the plants longer than their degree-days.
  const StageCells& cells = t_.stages[static_cast<std::size_t>(stage)];
  const auto limit = days_in(columns, cells.gate_limit, row, 0);
  return length == cells.longest && limit ? std::max(end, from + *limit) : end;
}

bool DatePlanner::solve_ranges(const BatchFacts& batch, const Columns& columns, std::size_t row) {
  for (const std::int32_t s : t_.dates.order) {
    StageDates& dates = stages_[static_cast<std::size_t>(s)];
    const StageCells& cells = t_.stages[static_cast<std::size_t>(s)];
    const StageDates starts = start_range(batch, s);
    const auto earliest = range_end(s, cells.shortest, starts.earliest, columns, row);
    const auto latest = range_end(s, cells.longest, starts.latest, columns, row);
    if (!earliest || !latest) return false;
    // An end that was set by hand is not before the planned one, nor after it.
    const bool pinned = std::any_of(batch.pins.begin(), batch.pins.end(),
                                    [&](const Pin& pin) { return pin.stage == s && pin.end; });
    dates.earliest = pinned ? dates.end : std::min(*earliest, dates.end);
    dates.latest = pinned ? dates.end : std::max(*latest, dates.end);
  }
  return true;
}

}  // namespace budwood::sheet
