/// The time network: dates as points, what binds them as links, and the plans that follow.
///
/// All constraints are monotone between two dates (difference bounds, sets of allowed days on one
/// date, lengths that grow with their start), so solutions are closed under taking the later, or
/// the earlier, of two: there is one latest and one earliest plan, and repeated tightening finds it
/// (Dechter, Meiri & Pearl 1991; Jeavons & Cooper 1995).
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
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

/// One thing that a conflict rests on.
struct Fact {
  enum class Kind : std::uint8_t { link_low, link_high, length, not_before, not_after, allowed };
  Kind kind = Kind::link_low;
  std::uint32_t id = 0;  ///< a link for the first three, else a point
  Day day = 0;           ///< for `allowed`: the day that was wanted and is not in the set
  friend bool operator==(const Fact&, const Fact&) = default;
};

/// Facts that contradict each other, in the order in which they push, and by how many days they
/// miss. Leaving out any one of them (for `allowed`: the whole set of the point) removes this
/// contradiction.
struct Conflict {
  std::vector<Fact> facts;
  /// The least number of days by which one of the bounds would have to give way to remove this
  /// contradiction; 0 when days alone do not help.
  Day misses = 0;
  /// Nothing contradicts, but nothing bounds this date on the side asked for either. Then `facts`
  /// is empty.
  std::optional<PointId> unbounded;
};

class Propagation;

/// Finds plans. Keeps its working memory between calls, so one solver serves many batches: after
/// the first call on the largest network it allocates nothing as long as there is a plan.
///
/// n points, m links: O(m) when no date is pushed twice, O(n m) at worst for links alone (Cormen et
/// al., Introduction to Algorithms, 24.4); a point with a set of days can be pushed once for every
/// member. A negative cycle is noticed as soon as a chain of pushes closes on itself.
class Solver {
 public:
  Solver();
  ~Solver();
  Solver(Solver&&) noexcept;
  Solver& operator=(Solver&&) noexcept;

  /// The plan in which every date is as late as all constraints allow. False when there is none;
  /// `conflict` then says why. A point that nothing bounds from above is a conflict too.
  bool latest(const Network& network, std::vector<Day>& days);
  /// The plan in which every date is as early as all constraints allow.
  bool earliest(const Network& network, std::vector<Day>& days);
  /// Why the last call failed; empty after one that did not.
  const Conflict& conflict() const { return conflict_; }

 private:
  std::unique_ptr<Propagation> propagation_;
  Conflict conflict_;
};

}  // namespace budwood::network
