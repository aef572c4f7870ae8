#include "plan/level/beside.hpp"

#include <algorithm>

namespace budwood::plan {

using calendar::Day;
using levelling::Amount;
using levelling::GroupId;
using levelling::PointId;
using levelling::Problem;
using levelling::ResourceId;

namespace {

constexpr PointId not_here = UINT32_MAX;

}  // namespace

Beside::Span Beside::span_of(const levelling::Use& use, const levelling::Schedule& schedule,
                             std::size_t id) {
  const Day slip = schedule.slips[id];
  return {schedule.days[use.from.point] + use.from.offset + slip,
          schedule.days[use.to.point] + use.to.offset + slip};
}

Beside::Beside(const LevelProblem& levelled, const levelling::Schedule& schedule,
               const std::vector<bool>& takes, const std::vector<GroupId>& chosen)
    : local_(levelled.problem().points.size(), not_here) {
  const Problem& all = levelled.problem();
  first_ = calendar::last_day;
  last_ = calendar::first_day;
  for (const GroupId group : chosen) add(levelled, group);
  for (ResourceId r = 0; r < all.resources.size(); ++r) {
    open(all.resources[r], levelled.name_of(r).kind == LevelProblem::Named::Kind::apart);
  }
  for (std::size_t u = 0; u < all.uses.size(); ++u) {
    levelling::Use use = all.uses[u];
    if (local_[use.from.point] != not_here) {
      use.from.point = local_[use.from.point];
      use.to.point = local_[use.to.point];
      alone_.uses.push_back(use);
    } else if (takes[all.points[use.from.point].group] &&
               schedule.slips[u] != levelling::left_out) {
      take(use, span_of(use, schedule, u));
    }
  }
  for (const levelling::Lag& lag : all.lags) {
    if (local_[lag.from] == not_here) continue;
    alone_.lags.push_back({local_[lag.from], local_[lag.to], lag.days});
  }
  for (const levelling::Length& length : all.lengths) {
    if (local_[length.from] == not_here) continue;
    alone_.lengths.push_back({local_[length.from], local_[length.to], length.length, length.limit});
  }
}

void Beside::add(const LevelProblem& levelled, GroupId id) {
  const LevelProblem::Group& group = levelled.groups()[id];
  const Problem& all = levelled.problem();
  const auto own = static_cast<GroupId>(groups_.size());
  const auto first = static_cast<PointId>(alone_.points.size());
  for (PointId p = group.first; p <= group.ready; ++p) {
    local_[p] = static_cast<PointId>(alone_.points.size());
    alone_.points.push_back(all.points[p]);
    alone_.points.back().group = own;
    wanted_.push_back(levelled.today()[p]);
  }
  const PointId ready = local_[group.ready];
  groups_.push_back({first, ready, levelled.asked(id)});
  alone_.objectives.resize(2);
  alone_.objectives[0].push_back({ready, levelled.asked(id), group.priority, 0});
  alone_.objectives[1].push_back({ready, wanted_[ready], 1, 1});
  constexpr Day around = 180;
  first_ = std::min(first_, all.points[group.first].earliest - around);
  last_ = std::max(last_, all.points[group.ready].latest + around);
}

/// A resource with a number for each day that can matter.
void Beside::open(const levelling::Resource& resource, bool apart) {
  levelling::Resource own;
  own.otherwise = resource.otherwise;
  own.first = first_;
  for (Day day = first_; day <= last_; ++day) own.by_day.push_back(resource.capacity(day));
  alone_.resources.push_back(std::move(own));
  is_apart_.push_back(apart);
}

void Beside::take(const levelling::Use& use, Span span) {
  levelling::Resource& resource = alone_.resources[use.resource];
  for (Day day = std::max(span.first, first_); day < std::min(span.end, last_ + 1); ++day) {
    resource.by_day[static_cast<std::size_t>(day - first_)] -= use.amount;
  }
}

levelling::Season Beside::place(const Problem& problem) const {
  levelling::SeasonOptions options;
  options.wanted = wanted_;
  options.prove = false;
  return levelling::level_season(problem, options);
}

std::optional<Day> Beside::days_later() const {
  Problem later = alone_;
  const PointId ready = groups_.front().ready;
  const Day latest = later.points[ready].latest;
  for (levelling::Point& point : later.points) {
    if (point.earliest < point.latest) point.latest += most_days_later;
  }
  // It may have had to be ready on just that day.
  later.points[ready].earliest = latest + 1;
  later.points[ready].latest = latest + most_days_later;
  later.objectives[1][0] = {ready, latest, 1, 1};
  const levelling::Season found = place(later);
  if (!found.placed[0]) return std::nullopt;
  return found.schedule.days[ready] - latest;
}

int Beside::tenths_that_fit() const {
  for (int tenths = 9; tenths >= 1; --tenths) {
    Problem smaller = alone_;
    for (levelling::Use& use : smaller.uses) {
      // Fewer plants want the same climate.
      if (!is_apart_[use.resource]) use.amount = (use.amount * tenths + 9) / 10;
    }
    if (place(smaller).placed[0]) return tenths;
  }
  return 0;
}

/// What the counted groups take of each resource beyond what is free.
Beside::More Beside::over(const levelling::Season& found, const std::vector<bool>& counted) const {
  More taken;
  for (std::size_t u = 0; u < alone_.uses.size(); ++u) {
    const levelling::Use& use = alone_.uses[u];
    if (!counted[alone_.points[use.from.point].group]) continue;
    if (found.schedule.slips[u] == levelling::left_out) continue;
    const Span span = span_of(use, found.schedule, u);
    Amounts& days = taken[use.resource];
    for (Day day = span.first; day < span.end; ++day) days[day] += use.amount;
  }
  More out;
  for (const auto& [resource, days] : taken) {
    for (const auto& [day, amount] : days) {
      const Amount free = std::max<Amount>(0, alone_.resources[resource].capacity(day));
      if (amount > free) out[resource][day] = amount - free;
    }
  }
  return out;
}

Beside::More Beside::missing(bool on_time) const {
  Problem problem = alone_;
  for (const Group& group : groups_) {
    levelling::Point& ready = problem.points[group.ready];
    if (on_time) ready.latest = std::min(ready.latest, group.asked);
    if (ready.latest < ready.earliest) return {};
  }
  const levelling::Season found = place(problem);
  return over(found, found.dated);
}

Beside::Places Beside::with(const More& more) const {
  Problem richer = alone_;
  for (const auto& [resource, days] : more) {
    std::vector<Amount>& by_day = richer.resources[resource].by_day;
    for (const auto& [day, amount] : days) {
      if (day < first_ || day > last_) continue;
      Amount& there = by_day[static_cast<std::size_t>(day - first_)];
      there = std::max<Amount>(0, there) + amount;
    }
  }
  const levelling::Season found = place(richer);
  Places out;
  out.placed = found.placed;
  for (const Group& group : groups_) {
    out.ready.push_back(found.schedule.days[group.ready]);
    out.late.push_back(std::max(0, out.ready.back() - group.asked));
  }
  out.needed = over(found, found.placed);
  return out;
}

}  // namespace budwood::plan
