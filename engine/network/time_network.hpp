/// Dates as points, and what binds them as links.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "calendar/calendar.hpp"

namespace budwood::network {

using calendar::Day;
using PointId = std::uint32_t;
using LinkId = std::uint32_t;

/// A length that depends on the day it starts on. A later start never gives an earlier end. The
/// starts whose end is known are one unbroken run of days; it is only asked about days of the
/// calendar (`calendar::first_day` to `calendar::last_day`).
class MonotoneLength {
 public:
  virtual ~MonotoneLength() = default;
  /// The end of what starts on `start`; nothing when it cannot be known (outside the series).
  virtual std::optional<Day> end_of(Day start) const = 0;
  /// The latest start whose end is known and on or before `end` (which may be long after the last
  /// known end); nothing when there is none.
  virtual std::optional<Day> latest_start(Day end) const = 0;
};

/// Points and what binds them. Structure is built once; bounds may be changed for each batch.
/// Sets and lengths are borrowed and must outlive the network.
class Network {
 public:
  /// A date. With `allowed` it can only fall on those days.
  PointId add_point(const calendar::DaySet* allowed = nullptr);
  void set_allowed(PointId point, const calendar::DaySet* allowed);
  void set_not_before(PointId point, std::optional<Day> day);
  void set_not_after(PointId point, std::optional<Day> day);

  /// low <= to - from <= high, in days; an absent side does not bind. `low` above `high` is taken
  /// as it stands: no plan meets it.
  LinkId add_link(PointId from, PointId to, std::optional<Day> low, std::optional<Day> high);
  void set_link(LinkId link, std::optional<Day> low, std::optional<Day> high);
  /// to = length.end_of(from).
  LinkId add_length(PointId from, PointId to, const MonotoneLength* length);
  /// to <= limit.end_of(from): `to` follows soon enough, but `from` may be as late as it likes.
  LinkId add_limit(PointId from, PointId to, const MonotoneLength* limit);
  /// A link with a length has no other bounds; without one (null) it does not bind.
  void set_length(LinkId link, const MonotoneLength* length);

  std::size_t point_count() const { return points_.size(); }
  std::size_t link_count() const { return links_.size(); }

  struct Point {
    const calendar::DaySet* allowed = nullptr;
    std::optional<Day> not_before, not_after;
  };
  struct Link {
    PointId from = 0, to = 0;
    std::optional<Day> low, high;
    const MonotoneLength* length = nullptr;
    bool limit = false;  ///< the length bounds `to` from above only
  };
  const Point& point(PointId id) const { return points_[id]; }
  const Link& link(LinkId id) const { return links_[id]; }
  /// The links that touch a point.
  const std::vector<LinkId>& links_at(PointId id) const { return touching_[id]; }

 private:
  std::vector<Point> points_;
  std::vector<Link> links_;
  std::vector<std::vector<LinkId>> touching_;
};

}  // namespace budwood::network
