#include <algorithm>

#include "sheet/dates/dates.hpp"

/// What nature's ranges leave open around the planned dates.
namespace budwood::sheet {

bool DatePlanner::solve_ranges(const Columns& columns, std::size_t row) {
  find_open(columns, row);
  for (StageDates& dates : stages_) dates.earliest = dates.latest = dates.end;
  for (const Pace pace : {Pace::quick, Pace::slow}) {
    if (!range_dates(pace, columns, row)) return false;
    for (std::size_t s = 0; s < stages_.size(); ++s) {
      StageDates& dates = stages_[s];
      const Day end = range_days_[DateLayout::end_of(static_cast<std::int32_t>(s))];
      dates.earliest = std::min(dates.earliest, end);
      dates.latest = std::max(dates.latest, end);
    }
  }
  return true;
}

/// Whether a stage can take longer or shorter than planned.
bool DatePlanner::is_uncertain(std::int32_t s, const Columns& columns, std::size_t row) const {
  const StageCells& cells = t_.stages[static_cast<std::size_t>(s)];
  if (columns.at(cells.shortest, row) != columns.at(cells.longest, row)) return true;
  return language::follows_site(t_.protocol.stages[static_cast<std::size_t>(s)]) &&
         cells.gate_limit != no_cell && site_.series != nullptr;
}

/// The dates that nature can move: ends of uncertain stages, and what is tied to a date that moves.
void DatePlanner::find_open(const Columns& columns, std::size_t row) {
  open_.assign(network_.point_count(), false);
  for (std::int32_t s = 0; s < static_cast<std::int32_t>(stages_.size()); ++s) {
    const auto end = DateLayout::end_of(s);
    open_[end] = !pinned_[end] && is_uncertain(s, columns, row);
  }
  for (bool more = true; more;) {
    more = false;
    for (const DateLink& link : t_.dates.links) {
      if (!open_[link.from] || open_[link.to] || pinned_[link.to]) continue;
      open_[link.to] = more = true;
    }
  }
}

/// Sets all dates as they fall in a quick or in a slow year. What counts back from a later stage
/// (`starts within`) may take several rounds; where it never settles, the planned dates stay.
bool DatePlanner::range_dates(Pace pace, const Columns& columns, std::size_t row) {
  range_days_ = days_;
  for (network::PointId point = 0; point < open_.size(); ++point) {
    if (open_[point]) range_days_[point] = calendar::first_day;
  }
  for (std::size_t round = 0; round <= 2 * stages_.size(); ++round) {
    bool moved = false;
    for (const std::int32_t s : t_.dates.order) {
      const network::PointId start = DateLayout::start_of(s);
      const network::PointId end = DateLayout::end_of(s);
      if (open_[start]) {
        const Day day = range_start(pace, s);
        moved = moved || day != range_days_[start];
        range_days_[start] = day;
      }
      if (!open_[end]) continue;
      const auto day = range_end(pace, s, columns, row);
      if (!day) return false;
      moved = moved || *day != range_days_[end];
      range_days_[end] = *day;
    }
    if (!moved) return true;
  }
  range_days_ = days_;
  return true;
}

/// Which length nature takes is not known at the start, so the days on which a stage can start are
/// those of its usual length.
Day DatePlanner::range_start(Pace pace, std::int32_t s) const {
  const network::PointId point = DateLayout::start_of(s);
  const Day planned = days_[point];
  Day low = network_.point(point).not_before.value_or(calendar::first_day);
  Day high = calendar::last_day;
  for (std::size_t i = 0; i < t_.dates.links.size(); ++i) {
    const DateLink& written = t_.dates.links[i];
    if (written.to != point) continue;
    const network::Network::Link& link = network_.link(static_cast<network::LinkId>(i));
    low = std::max(low, range_days_[link.from] + link.low.value_or(0));
    if (link.high) high = std::min(high, range_days_[link.from] + *link.high);
  }
  const calendar::DaySet* allowed = network_.point(point).allowed;
  const network::MonotoneLength* length = network_.link(length_link(s)).length;
  // Of days past the known temperatures nobody can say whether they suit.
  const auto next = [&](Day day) {
    const auto found = allowed == nullptr ? std::nullopt : allowed->next(day);
    return found && (length == nullptr || length->end_of(*found)) ? *found : day;
  };
  if (pace == Pace::slow) return next(std::max(low, planned));
  if (!takes(s).empty()) return next(low);
  const Day wanted = std::min(planned, high);
  if (wanted < low || allowed == nullptr) return next(std::max(low, wanted));
  const auto before = allowed->previous(wanted);
  return before && *before >= low ? *before : next(low);
}

/// What is under way does not end before today.
std::optional<Day> DatePlanner::range_end(Pace pace, std::int32_t s, const Columns& columns,
                                          std::size_t row) {
  const auto day = range_end_by_length(pace, s, columns, row);
  const auto bound = network_.point(DateLayout::end_of(s)).not_before;
  return day && bound ? std::max(*day, *bound) : day;
}

/// Past the known temperatures a stage takes as long as planned.
std::optional<Day> DatePlanner::range_end_by_length(Pace pace, std::int32_t s,
                                                    const Columns& columns, std::size_t row) {
  const StageCells& cells = t_.stages[static_cast<std::size_t>(s)];
  const StageDates& planned = stages_[static_cast<std::size_t>(s)];
  const Day start = range_days_[DateLayout::start_of(s)];
  const CellId length = pace == Pace::quick ? cells.shortest : cells.longest;
  if (!language::follows_site(t_.protocol.stages[static_cast<std::size_t>(s)])) {
    const auto days = days_in(columns, length, row, 0);
    return days ? std::optional(start + *days) : std::nullopt;
  }
  const Day usual = start + (planned.end - planned.start);
  if (!site_.series) return usual;
  const SeriesLength* known = series_lengths_.find(s, length, columns, row);
  const Day end = known == nullptr ? usual : known->end_of(start).value_or(usual);
  // A gate can hold the plants longer than their degree-days.
  const auto limit = days_in(columns, cells.gate_limit, row, 0);
  return length == cells.longest && limit ? std::max(end, start + *limit) : end;
}

}  // namespace budwood::sheet
