#include "sheet/dates.hpp"

#include <algorithm>

namespace budwood::sheet {

using calendar::DaySet;
using language::Stage;

namespace {

std::optional<int> days_in(const std::vector<std::vector<double>>& columns, CellId cell,
                           std::size_t row, int otherwise) {
  if (cell == no_cell) return otherwise;
  const double value = columns[cell][row];
  constexpr double most = 100'000;
  if (!(std::abs(value) <= most)) return std::nullopt;
  return static_cast<int>(value);
}

}  // namespace

std::optional<Day> work_day(const language::Work& work, Day due, Day last_stage_day,
                            const calendar::WorkingDays& working) {
  if (work.crew.empty()) return due;
  const std::optional<Day> day = working.days().next(due);
  if (!day || *day > std::min(due + work.timing.within, std::max(due, last_stage_day))) {
    return std::nullopt;
  }
  return day;
}

DatePlanner::DatePlanner(const Template& t, const Site& site)
    : t_(t),
      site_(site),
      working_day_wait_(site.working),
      stages_(t.stages.size()),
      start_days_(t.protocol, site.working) {
  for (std::size_t i = 0; i < 2 * t.stages.size(); ++i) network_.add_point();
  network_.add_point();
  const std::vector<DateLink>& links = t.dates.links;
  for (const DateLink& link : links) network_.add_link(link.from, link.to, 0, 0);
  for (std::size_t i = 0; i < links.size(); ++i) {
    if (!links[i].to_working_day) continue;
    network_.add_limit(links[i].from, links[i].to, &working_day_wait_);
    limited_links_.push_back(static_cast<std::uint32_t>(i));
  }
}

bool DatePlanner::plan(const BatchFacts& batch, const std::vector<std::vector<double>>& columns,
                       std::size_t row) {
  conflict_.reset();
  if (!set_bounds(batch, columns, row)) return false;
  set_pins(batch);
  if (!solve(batch)) {
    conflict_ = describe(network::shortest_conflict(network_), batch);
    return false;
  }
  for (std::size_t s = 0; s < stages_.size(); ++s) {
    stages_[s].start = days_[2 * s];
    stages_[s].end = days_[2 * s + 1];
  }
  ready_ = days_.back();
  return solve_ranges(batch, columns, row);
}

bool DatePlanner::set_bounds(const BatchFacts& batch,
                             const std::vector<std::vector<double>>& columns, std::size_t row) {
  for (std::size_t i = 0; i < t_.dates.links.size(); ++i) {
    const DateLink& link = t_.dates.links[i];
    const auto low = days_in(columns, link.low, row, link.fixed_low);
    const auto high = days_in(columns, link.high, row, link.fixed_high);
    if (!low || !high) return false;
    network_.set_link(static_cast<network::LinkId>(i), low,
                      link.bounded ? high : std::optional<int>{});
  }
  const DayWindow window = window_of(batch);
  working_day_wait_.look_within(window);
  for (std::size_t i = 0; i < t_.dates.links.size(); ++i) {
    const DateLink& link = t_.dates.links[i];
    if (link.kind != DateLink::Kind::length) continue;
    const int length = *network_.link(static_cast<network::LinkId>(i)).low;
    network_.set_allowed(link.from, start_days_.of(link.stage, length, window));
  }
  network_.set_allowed(static_cast<network::PointId>(network_.point_count() - 1),
                       start_days_.of_hand_over(window));
  return true;
}

/// The years around the dates that a batch sets: all its lengths and waits, and two years more for
/// closed days. In steps, so that batches of a season share their sets of days.
DayWindow DatePlanner::window_of(const BatchFacts& batch) const {
  constexpr std::int64_t step = 256;
  std::optional<Day> first;
  std::optional<Day> last;
  const auto take = [&](Day day) {
    first = std::min(first.value_or(day), day);
    last = std::max(last.value_or(day), day);
  };
  if (batch.ready) take(*batch.ready);
  if (batch.start) take(*batch.start);
  for (const Pin& pin : batch.pins) take(pin.day);
  if (!first) return {};
  std::int64_t reach = 2 * 366;
  for (std::size_t i = 0; i < t_.dates.links.size(); ++i) {
    const network::Network::Link& link = network_.link(static_cast<network::LinkId>(i));
    reach += std::max({0, link.low.value_or(0), link.high.value_or(WorkingDayWait::most)});
  }
  const std::int64_t low = *first - reach;
  const std::int64_t high = *last + reach;
  return {static_cast<Day>(
              std::max<std::int64_t>(low - low % step - (low < 0 ? step : 0), calendar::first_day)),
          static_cast<Day>(std::min<std::int64_t>(high + step - high % step, calendar::last_day))};
}

void DatePlanner::set_pins(const BatchFacts& batch) {
  for (std::size_t s = 0; s < stages_.size(); ++s) {
    const auto index = static_cast<std::int32_t>(s);
    const bool source = t_.protocol.stages[s].takes.empty();
    network_.set_not_before(
        DateLayout::start_of(index),
        source ? batch.start.value_or(window_of(batch).first) : std::optional<Day>{});
    network_.set_not_after(DateLayout::start_of(index), std::nullopt);
    network_.set_not_before(DateLayout::end_of(index), std::nullopt);
    network_.set_not_after(DateLayout::end_of(index), std::nullopt);
  }
  for (const Pin& pin : batch.pins) {
    const auto point = pin.end ? DateLayout::end_of(pin.stage) : DateLayout::start_of(pin.stage);
    // A batch does not start before its own start, whatever it pins.
    const std::optional<Day> start = network_.point(point).not_before;
    network_.set_not_before(point, std::max(pin.day, start.value_or(pin.day)));
    network_.set_not_after(point, pin.day);
  }
}

/// Ready by a day: the latest plan. Started on a day: the earliest finish, then the latest plan
/// that still reaches it, so that parts which are joined come ready together.
bool DatePlanner::solve(const BatchFacts& batch) {
  const auto finish = static_cast<network::PointId>(network_.point_count() - 1);
  network_.set_not_after(finish, batch.ready);
  if (!batch.ready) {
    if (!solver_.earliest(network_, days_)) return false;
    network_.set_not_after(finish, days_.back());
  }
  return solver_.latest(network_, days_);
}

/// The earliest and the latest start of a stage, when the ranges of all before it are known.
StageDates DatePlanner::start_range(const BatchFacts& batch, std::int32_t s) const {
  const Stage& stage = t_.protocol.stages[static_cast<std::size_t>(s)];
  StageDates range = stages_[static_cast<std::size_t>(s)];
  range.earliest = range.latest = range.start;
  const bool pinned = std::any_of(batch.pins.begin(), batch.pins.end(),
                                  [&](const Pin& pin) { return pin.stage == s && !pin.end; });
  if (pinned || (stage.takes.empty() && stage.after.empty())) return range;
  range.earliest = range.latest = calendar::first_day;
  for (const network::LinkId id : network_.links_at(DateLayout::start_of(s))) {
    const network::Network::Link& link = network_.link(id);
    if (link.to != DateLayout::start_of(s)) continue;
    const int wait = link.low.value_or(0);
    const StageDates& before = stages_[link.from / 2];
    range.earliest = std::max(range.earliest, before.earliest + wait);
    range.latest = std::max(range.latest, before.latest + wait);
  }
  return range;
}

bool DatePlanner::solve_ranges(const BatchFacts& batch,
                               const std::vector<std::vector<double>>& columns, std::size_t row) {
  for (const std::int32_t s : t_.dates.order) {
    StageDates& dates = stages_[static_cast<std::size_t>(s)];
    const StageCells& cells = t_.stages[static_cast<std::size_t>(s)];
    const auto shortest = days_in(columns, cells.shortest, row, 0);
    const auto longest = days_in(columns, cells.longest, row, 0);
    if (!shortest || !longest) return false;
    const StageDates starts = start_range(batch, s);
    const auto end_after = [&](Day start, int length) {
      const DaySet* days = start_days_.of(s, length);
      return (days == nullptr ? start : days->next(start).value_or(start)) + length;
    };
    // An end that was set by hand is not before the planned one, nor after it.
    const bool pinned = std::any_of(batch.pins.begin(), batch.pins.end(),
                                    [&](const Pin& pin) { return pin.stage == s && pin.end; });
    dates.earliest =
        pinned ? dates.end : std::min(end_after(starts.earliest, *shortest), dates.end);
    dates.latest = pinned ? dates.end : std::max(end_after(starts.latest, *longest), dates.end);
  }
  return true;
}

}  // namespace budwood::sheet
