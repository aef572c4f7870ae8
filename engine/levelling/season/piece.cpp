#include "levelling/season/piece.hpp"

#include <algorithm>

namespace budwood::levelling {

Piece::Piece(const Problem& whole, const Groups& groups, std::span<const GroupId> chosen,
             const Profile& free, const std::vector<bool>& held, const Schedule& schedule)
    : whole_(whole), groups_(groups), chosen_(chosen.begin(), chosen.end()) {
  problem_.objectives.resize(whole.objectives.size());
  for (const GroupId group : chosen_) add_group(group);
  for (const GroupId group : chosen_) add_bonds(group);
  for (const GroupId group : chosen_) add_ties(group, held, schedule);
  add_resources(free);
}

PointId Piece::local(PointId point) const {
  const auto at = std::find(chosen_.begin(), chosen_.end(), whole_.points[point].group);
  if (at == chosen_.end()) return none;
  return first_[static_cast<std::size_t>(at - chosen_.begin())] + groups_.place(point);
}

void Piece::add_group(GroupId group) {
  first_.push_back(static_cast<PointId>(problem_.points.size()));
  for (const PointId point : groups_.points(group)) {
    problem_.points.push_back(whole_.points[point]);
  }
}

void Piece::add_bonds(GroupId group) {
  for (const std::uint32_t id : groups_.lags(group)) {
    const Lag& lag = whole_.lags[id];
    problem_.lags.push_back({local(lag.from), local(lag.to), lag.days});
  }
  for (const std::uint32_t id : groups_.lengths(group)) {
    Length length = whole_.lengths[id];
    length.from = local(length.from);
    length.to = local(length.to);
    problem_.lengths.push_back(length);
  }
  first_use_.push_back(problem_.uses.size());
  for (const std::uint32_t id : groups_.uses(group)) {
    Use use = whole_.uses[id];
    use.from.point = local(use.from.point);
    use.to.point = local(use.to.point);
    problem_.uses.push_back(use);
  }
  for (const std::uint32_t id : groups_.terms(group)) {
    const Groups::LevelTerm& one = groups_.term(id);
    Term term = one.term;
    term.point = local(term.point);
    problem_.objectives[one.level].push_back(term);
  }
}

void Piece::add_ties(GroupId group, const std::vector<bool>& held, const Schedule& schedule) {
  for (const std::uint32_t id : groups_.ties(group)) {
    const Lag& lag = whole_.lags[id];
    const PointId from = local(lag.from), to = local(lag.to);
    if (from != none && to != none) {
      // Each tie stands with both of its groups.
      if (whole_.points[lag.from].group == group) problem_.lags.push_back({from, to, lag.days});
    } else if (to != none && held[whole_.points[lag.from].group]) {
      Day& earliest = problem_.points[to].earliest;
      earliest = std::max(earliest, schedule.days[lag.from] + lag.days);
    } else if (from != none && held[whole_.points[lag.to].group]) {
      Day& latest = problem_.points[from].latest;
      latest = std::min(latest, schedule.days[lag.to] - lag.days);
    }
  }
}

/// What is free on the days that the piece can reach; where more is taken than there is, nothing.
void Piece::add_resources(const Profile& free) {
  problem_.resources.resize(whole_.resources.size());
  std::vector<std::pair<Day, Day>> spans(whole_.resources.size(), {INT32_MAX, INT32_MIN});
  for (const Use& use : problem_.uses) {
    auto& [first, end] = spans[use.resource];
    const Point& from = problem_.points[use.from.point];
    const Point& to = problem_.points[use.to.point];
    first = std::min(first, from.earliest + use.from.offset);
    end = std::max(end, to.latest + use.to.offset + use.slack);
  }
  for (ResourceId r = 0; r < spans.size(); ++r) {
    problem_.resources[r].first = spans[r].first;
    for (Day day = spans[r].first; day < spans[r].second; ++day) {
      problem_.resources[r].by_day.push_back(std::max<Amount>(0, free.free(r, day)));
    }
  }
}

Schedule Piece::start(const Schedule& schedule) const {
  Schedule out;
  for (const GroupId group : chosen_) {
    for (const PointId point : groups_.points(group)) out.days.push_back(schedule.days[point]);
    for (const std::uint32_t use : groups_.uses(group)) out.slips.push_back(schedule.slips[use]);
  }
  return out;
}

Placement Piece::placement(const Schedule& schedule, std::size_t place) const {
  Placement out;
  out.found = out.fits = true;
  const GroupId group = chosen_[place];
  for (std::size_t i = 0; i < groups_.points(group).size(); ++i) {
    out.days.push_back(schedule.days[first_[place] + i]);
  }
  for (std::size_t i = 0; i < groups_.uses(group).size(); ++i) {
    out.slips.push_back(schedule.slips[first_use_[place] + i]);
  }
  return out;
}

}  // namespace budwood::levelling
