#include "sheet/dates/dates.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::sheet {

using calendar::DaySet;
using language::Stage;

std::optional<int> days_in(const Columns& columns, CellId cell, std::size_t row, int otherwise) {
  if (cell == no_cell) return otherwise;
  const double value = columns.at(cell, row);
  constexpr double most = 100'000;
  if (!(std::abs(value) <= most)) return std::nullopt;
  return static_cast<int>(value);
}

DatePlanner::DatePlanner(const Template& t, const Site& site)
    : t_(t),
      site_(site),
      working_day_wait_(site.working),
      series_lengths_(t, site),
      floats_(t.dates, network_),
      stages_(t.stages.size()),
      start_days_(t.protocol, site) {
  for (std::size_t i = 0; i < 2 * t.stages.size(); ++i) network_.add_point();
  network_.add_point();
  const std::vector<DateLink>& links = t.dates.links;
  for (const DateLink& link : links) network_.add_link(link.from, link.to, 0, 0);
  for (std::size_t i = 0; i < links.size(); ++i) {
    if (!links[i].to_working_day) continue;
    // Whatever the site, plants may wait the longest time that some working days ask for.
    if (site.stand_in) {
      network_.add_link(links[i].from, links[i].to, {}, WorkingDayWait::most);
    } else {
      network_.add_limit(links[i].from, links[i].to, &working_day_wait_);
    }
    limited_links_.push_back(static_cast<std::uint32_t>(i));
  }
}

bool DatePlanner::bind(const BatchFacts& batch, const Columns& columns, std::size_t row) {
  if (!set_bounds(batch, columns, row)) return false;
  set_pins(batch);
  return true;
}

bool DatePlanner::plan(const BatchFacts& batch, const Columns& columns, std::size_t row) {
  conflict_.reset();
  deviations_.clear();
  if (!bind(batch, columns, row)) {
    if (never_over_) conflict_ = describe_never_over(*never_over_);
    return false;
  }
  if (!(batch.today ? solve_under_way(batch, columns, row) : solve(batch))) {
    if (!conflict_) conflict_ = describe(network::shortest_conflict(network_), batch);
    return false;
  }
  for (std::size_t s = 0; s < stages_.size(); ++s) {
    stages_[s].start = days_[2 * s];
    stages_[s].end = days_[2 * s + 1];
  }
  const std::vector<int>& floats = floats_.of(days_, pinned_);
  for (std::size_t s = 0; s < stages_.size(); ++s) stages_[s].float_days = floats[s];
  ready_ = days_.back();
  return solve_ranges(columns, row);
}

/// Without temperatures, as when a protocol is only checked, any length will do.
bool DatePlanner::set_series_length(const DateLink& link, network::LinkId id,
                                    const Columns& columns, std::size_t row) {
  if (std::isnan(columns.at(link.low, row))) return false;
  if (!site_.series) {
    network_.set_link(id, 0, longest_series_days);
    return true;
  }
  const SeriesLength* length = series_lengths_.find(link.stage, link.low, columns, row);
  if (length == nullptr) {
    if (series_lengths_.has_values(link.stage, link.low, columns, row)) never_over_ = link.stage;
    return false;
  }
  network_.set_length(id, length);
  return true;
}

bool DatePlanner::set_bounds(const BatchFacts& batch, const Columns& columns, std::size_t row) {
  never_over_.reset();
  for (std::size_t i = 0; i < t_.dates.links.size(); ++i) {
    const DateLink& link = t_.dates.links[i];
    if (link.by_series) {
      if (!set_series_length(link, static_cast<network::LinkId>(i), columns, row)) return false;
      continue;
    }
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
    const network::Network::Link& length = network_.link(static_cast<network::LinkId>(i));
    const SeriesLength* series = link.by_series && site_.series
                                     ? series_lengths_.find(link.stage, link.low, columns, row)
                                     : nullptr;
    network_.set_allowed(link.from, series != nullptr
                                        ? start_days_.of(link.stage, *series, window)
                                        : start_days_.of(link.stage, *length.low, window));
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
  if (const auto day = batch.first_day()) take(*day);
  if (batch.today) take(*batch.today);
  for (const Pin& pin : batch.pins) take(pin.day);
  if (!first) return {};
  std::int64_t reach = 2 * 366;
  for (std::size_t i = 0; i < t_.dates.links.size(); ++i) {
    if (t_.dates.links[i].by_series) reach += longest_series_days;
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
        source ? batch.first_day().value_or(window_of(batch).first) : std::optional<Day>{});
    network_.set_not_after(DateLayout::start_of(index), std::nullopt);
    network_.set_not_before(DateLayout::end_of(index), std::nullopt);
    network_.set_not_after(DateLayout::end_of(index), std::nullopt);
  }
  pinned_.assign(network_.point_count(), std::nullopt);
  for (const Pin& pin : batch.pins) {
    const auto point = pin.end ? DateLayout::end_of(pin.stage) : DateLayout::start_of(pin.stage);
    pinned_[point] = pin.day;
    // A batch does not start before its own start, whatever it pins; but what has happened,
    // happened, on whatever day.
    const std::optional<Day> start = network_.point(point).not_before;
    network_.set_not_before(point,
                            pin.recorded ? pin.day : std::max(pin.day, start.value_or(pin.day)));
    network_.set_not_after(point, pin.day);
    if (pin.recorded) network_.set_allowed(point, nullptr);
  }
  free_recorded(batch);
  hold_to_today(batch);
}

/// What happened is not bound by what should have been: between two recorded dates nothing but
/// their order counts.
void DatePlanner::free_recorded(const BatchFacts& batch) {
  recorded_.assign(network_.point_count(), false);
  for (const Pin& pin : batch.pins) {
    const auto point = pin.end ? DateLayout::end_of(pin.stage) : DateLayout::start_of(pin.stage);
    if (pin.recorded) recorded_[point] = true;
  }
  const auto known = [&](network::LinkId id) {
    return recorded_[network_.link(id).from] && recorded_[network_.link(id).to];
  };
  const auto written = static_cast<network::LinkId>(t_.dates.links.size());
  for (network::LinkId id = 0; id < written; ++id) {
    if (!known(id)) continue;
    network_.set_length(id, nullptr);
    network_.set_link(id, t_.dates.links[id].within ? std::nullopt : std::optional(0), {});
  }
  for (network::LinkId id = written; id < network_.link_count() && !site_.stand_in; ++id) {
    network_.set_link(id, std::nullopt, std::nullopt);
    network_.set_length(id, known(id) ? nullptr : &working_day_wait_);
  }
}

/// Ready by a day: the latest plan. Not before a day: the earliest finish, then the latest plan
/// that still reaches it, so that parts which are joined come ready together.
bool DatePlanner::solve(const BatchFacts& batch) {
  network_.set_not_after(finish(), batch.ready);
  if (batch.start) return solve_started(batch);
  if (batch.not_before) {
    if (!solver_.earliest(network_, days_)) return false;
    network_.set_not_after(finish(), days_.back());
  }
  return solver_.latest(network_, days_);
}

}  // namespace budwood::sheet
