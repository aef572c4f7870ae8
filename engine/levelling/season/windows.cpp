#include "levelling/season/windows.hpp"

namespace budwood::levelling {

namespace {

/// The first start on or after `from`, and not after `last`, that ends on or after `end`.
std::optional<Day> first_start(const network::MonotoneLength& length, Day from, Day last, Day end) {
  const std::optional<Day> too_early = length.latest_start(end - 1);
  Day start = too_early && *too_early >= from ? *too_early + 1 : from;
  while (start <= last && !length.end_of(start)) ++start;
  if (start > last || *length.end_of(start) < end) return std::nullopt;
  return start;
}

}  // namespace

bool Windows::raise_points(GroupId group, std::vector<Day>& low,
                           const std::vector<Day>& high) const {
  const auto points = groups_.points(group);
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (low[i] > high[i]) return false;
    const calendar::DaySet* allowed = problem_.points[points[i]].allowed;
    if (allowed == nullptr) continue;
    const std::optional<Day> next = allowed->next(low[i]);
    if (!next || *next > high[i]) return false;
    low[i] = *next;
  }
  return true;
}

bool Windows::lower_points(GroupId group, const std::vector<Day>& low,
                           std::vector<Day>& high) const {
  const auto points = groups_.points(group);
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (low[i] > high[i]) return false;
    const calendar::DaySet* allowed = problem_.points[points[i]].allowed;
    if (allowed == nullptr) continue;
    const std::optional<Day> previous = allowed->previous(high[i]);
    if (!previous || *previous < low[i]) return false;
    high[i] = *previous;
  }
  return true;
}

bool Windows::raise_by_length(const Length& length, std::vector<Day>& low,
                              const std::vector<Day>& high, bool& moved) const {
  Day& from = low[groups_.place(length.from)];
  Day& to = low[groups_.place(length.to)];
  const Day last = high[groups_.place(length.from)];
  const std::optional<Day> start = first_start(*length.length, from, last, to);
  if (!start) return false;
  if (*start > from) {
    from = *start;
    moved = true;
  }
  if (length.limit) return true;
  if (const Day end = *length.length->end_of(from); end > to) {
    to = end;
    moved = true;
  }
  return true;
}

bool Windows::lower_by_length(const Length& length, std::vector<Day>& high, bool& moved) const {
  Day& from = high[groups_.place(length.from)];
  Day& to = high[groups_.place(length.to)];
  if (const std::optional<Day> end = length.length->end_of(from); end && *end < to) {
    to = *end;
    moved = true;
  }
  if (length.limit) return true;
  const std::optional<Day> start = length.length->latest_start(to);
  if (!start) return false;
  if (*start < from) {
    from = *start;
    moved = true;
  }
  return true;
}

bool Windows::raise(GroupId group, std::vector<Day>& low, const std::vector<Day>& high) const {
  bool moved = true;
  while (moved) {
    moved = false;
    if (!raise_points(group, low, high)) return false;
    for (const std::uint32_t id : groups_.lags(group)) {
      const Lag& lag = problem_.lags[id];
      const Day bound = low[groups_.place(lag.from)] + lag.days;
      Day& to = low[groups_.place(lag.to)];
      if (bound <= to) continue;
      to = bound;
      if (to > high[groups_.place(lag.to)]) return false;
      moved = true;
    }
    for (const std::uint32_t id : groups_.lengths(group)) {
      if (!raise_by_length(problem_.lengths[id], low, high, moved)) return false;
    }
  }
  return true;
}

bool Windows::lower(GroupId group, const std::vector<Day>& low, std::vector<Day>& high) const {
  bool moved = true;
  while (moved) {
    moved = false;
    if (!lower_points(group, low, high)) return false;
    const auto lags = groups_.lags(group);
    // Bonds are mostly written in the order of time.
    for (auto id = lags.rbegin(); id != lags.rend(); ++id) {
      const Lag& lag = problem_.lags[*id];
      const Day bound = high[groups_.place(lag.to)] - lag.days;
      Day& from = high[groups_.place(lag.from)];
      if (bound >= from) continue;
      from = bound;
      if (from < low[groups_.place(lag.from)]) return false;
      moved = true;
    }
    for (const std::uint32_t id : groups_.lengths(group)) {
      if (!lower_by_length(problem_.lengths[id], high, moved)) return false;
    }
  }
  return true;
}

}  // namespace budwood::levelling
