/// What is to be brought under limited capacity: days to be chosen, what binds them, and what they
/// take of rooms and people.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "network/network.hpp"

namespace budwood::levelling {

using calendar::Day;
using PointId = std::uint32_t;
using ResourceId = std::uint32_t;
using GroupId = std::uint32_t;
/// Of a resource, in whole steps that the caller chooses (plants, square centimetres,
/// person-seconds), so that sums are exact.
using Amount = std::int64_t;
using Cost = std::int64_t;

/// A day to be chosen, `earliest` to `latest`; with `allowed` only one of those days.
struct Point {
  Day earliest = 0;
  Day latest = 0;
  const calendar::DaySet* allowed = nullptr;  ///< borrowed
  GroupId group = 0;                          ///< what is placed together: a batch
};

/// to >= from + days. A negative number is a maximum lag the other way: from <= to + |days|.
struct Lag {
  PointId from = 0;
  PointId to = 0;
  Day days = 0;
};

/// to == length.end_of(from); of a limit, to <= length.end_of(from). Two different points.
struct Length {
  PointId from = 0;
  PointId to = 0;
  const network::MonotoneLength* length = nullptr;  ///< borrowed
  bool limit = false;
};

/// A day that is bound to a chosen one.
struct Moment {
  PointId point = 0;
  Day offset = 0;
};

/// An amount of a resource taken on the days from <= d < to; on none when `to` is not after `from`.
///
/// With `slack` it may begin up to so many days later, on one of the days in `starts` (null: on
/// any); the end moves along. Such a use has the same point at both ends. Where `starts` has no day
/// within the slack, it cannot be done; an optional one is then left out.
struct Use {
  ResourceId resource = 0;
  Amount amount = 0;
  Moment from;
  Moment to;
  Day slack = 0;
  const calendar::DaySet* starts = nullptr;  ///< borrowed
  bool optional = false;
  Day wanted = 0;  ///< the slip that it would have best, 0 to `slack`
  Cost apart = 0;  ///< for each day between that and its slip, in the last objective

  Cost cost(Day slip) const {
    return slip < 0 ? 0 : apart * (slip > wanted ? slip - wanted : wanted - slip);
  }
};

/// Of a use that is left out.
inline constexpr Day left_out = -1;

/// What there is of a resource: `by_day` from the day `first` on, `otherwise` on all other days.
/// What is taken of an `even` one is spread evenly (least sum of squares by day) among schedules
/// that meet all objectives equally well.
struct Resource {
  Amount otherwise = 0;
  Day first = 0;
  std::vector<Amount> by_day;
  bool even = false;

  Amount capacity(Day day) const {
    const std::int64_t at = static_cast<std::int64_t>(day) - first;
    return at >= 0 && at < static_cast<std::int64_t>(by_day.size())
               ? by_day[static_cast<std::size_t>(at)]
               : otherwise;
  }
};

/// late * max(0, t - wanted) + early * max(0, wanted - t), t the day of the point; weights are 0 or
/// more.
struct Term {
  PointId point = 0;
  Day wanted = 0;
  Cost late = 0;
  Cost early = 0;

  Cost at(Day day) const {
    const auto away = static_cast<Cost>(day) - wanted;
    return away >= 0 ? late * away : early * -away;
  }
};

/// A scheduling problem with minimum and maximum time lags and renewable resources (RCPSP/max:
/// Bartusch, Möhring & Radermacher 1988; Neumann, Schwindt & Zimmermann 2003). The classical form
/// has one point an activity and uses from its start to its start plus its duration.
///
/// `objectives` are made small one after the other: the second counts only among those with the
/// same first.
struct Problem {
  std::vector<Point> points;
  std::vector<Lag> lags;
  std::vector<Length> lengths;
  std::vector<Resource> resources;
  std::vector<Use> uses;
  std::vector<std::vector<Term>> objectives;
};

/// A day for each point, and for each use the days by which it begins later (0 where it has no
/// slack) or `left_out`.
struct Schedule {
  std::vector<Day> days;
  std::vector<Day> slips;
};

/// Cost of a schedule by objective.
std::vector<Cost> cost_of(const Problem& problem, const Schedule& schedule);

/// The first thing that a schedule breaks, in words for developers; nothing when it breaks none.
/// Uses without slack whose points have one day only are given: what they take is not a fault of
/// the schedule, even where it is more than there is.
/// Written from the definitions above and sharing nothing with the search.
std::optional<std::string> broken(const Problem& problem, const Schedule& schedule);

}  // namespace budwood::levelling
