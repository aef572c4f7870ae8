#include "network/tightening.hpp"

#include <algorithm>
#include <limits>

namespace budwood::network {
namespace {

using calendar::first_day;
using calendar::last_day;

/// The smallest day in [low, high] for which `holds` is true, given that it is true from some day
/// on and true for `high`.
template <class Holds>
Day first_that(Day low, Day high, Holds holds) {
  while (low < high) {
    const Day middle = low + (high - low) / 2;
    if (holds(middle)) {
      high = middle;
    } else {
      low = middle + 1;
    }
  }
  return high;
}

/// The first start whose end is known.
std::optional<Day> first_known_start(const MonotoneLength& length) {
  if (!length.latest_start(last_day)) return {};
  const Day first_end = first_that(first_day, last_day,
                                   [&](Day day) { return length.latest_start(day).has_value(); });
  const Day known = *length.latest_start(first_end);
  return first_that(first_day, known, [&](Day day) { return length.end_of(day).has_value(); });
}

/// The earliest start whose end is known and not before `end`.
std::optional<Day> first_start(const MonotoneLength& length, Day end) {
  const auto too_early = end > first_day ? length.latest_start(end - 1) : std::nullopt;
  if (!too_early) return first_known_start(length);
  if (*too_early >= last_day || !length.end_of(*too_early + 1)) return {};
  return *too_early + 1;
}

}  // namespace

Day Tightening::to_day(Height height) const {
  return static_cast<Day>(std::clamp<Height>(to_height(height), std::numeric_limits<Day>::min(),
                                             std::numeric_limits<Day>::max()));
}

std::optional<Height> Tightening::near_bound(PointId point) const {
  const Network::Point& p = network_->point(point);
  const auto& day = side_ == Side::latest ? p.not_after : p.not_before;
  return day ? std::optional<Height>(to_height(*day)) : std::nullopt;
}

std::optional<Height> Tightening::far_bound(PointId point) const {
  const Network::Point& p = network_->point(point);
  const auto& day = side_ == Side::latest ? p.not_before : p.not_after;
  return day ? std::optional<Height>(to_height(*day)) : std::nullopt;
}

Fact::Kind Tightening::near_fact() const {
  return side_ == Side::latest ? Fact::Kind::not_after : Fact::Kind::not_before;
}

Fact::Kind Tightening::far_fact() const {
  return side_ == Side::latest ? Fact::Kind::not_before : Fact::Kind::not_after;
}

// latest: to <= from + high and from <= to - low; earliest: to >= from + low and from >= to - high.
std::optional<Height> Tightening::step(const Network::Link& link, bool forward) const {
  const auto& bound = step_fact(forward) == Fact::Kind::link_high ? link.high : link.low;
  if (!bound) return {};
  return forward ? to_height(*bound) : -to_height(*bound);
}

Fact::Kind Tightening::step_fact(bool forward) const {
  return forward == (side_ == Side::latest) ? Fact::Kind::link_high : Fact::Kind::link_low;
}

bool Tightening::binds(const Network::Link& link, bool forward) const {
  return !link.limit || forward == (side_ == Side::latest);
}

Reach Tightening::settle(PointId point, Height wanted) const {
  const calendar::DaySet* allowed = network_->point(point).allowed;
  if (!allowed) return {is_open(wanted) ? Reach::Kind::open : Reach::Kind::height, wanted};
  std::optional<Day> day;
  if (side_ == Side::latest) {
    if (wanted >= first_day) day = allowed->previous(std::min<Height>(wanted, last_day));
  } else {
    if (-wanted <= last_day) day = allowed->next(std::max<Height>(-wanted, first_day));
  }
  if (!day) return {Reach::Kind::impossible};
  return {Reach::Kind::height, to_height(*day)};
}

Reach Tightening::end_of(const MonotoneLength& length, Height start) const {
  const Day day = to_day(start);
  if (day >= first_day && day <= last_day) {
    if (const auto end = length.end_of(day)) return {Reach::Kind::height, to_height(*end)};
  }
  // Above the known starts nothing follows yet; below them nothing ever will.
  const Reach highest = start_of(length, open_height);
  const bool above = highest.kind == Reach::Kind::height && highest.height < start;
  return {above ? Reach::Kind::open : Reach::Kind::impossible};
}

Reach Tightening::start_of(const MonotoneLength& length, Height end) const {
  std::optional<Day> start;
  if (side_ == Side::latest) {
    if (end >= first_day) start = length.latest_start(std::min<Height>(end, last_day));
  } else {
    if (-end <= last_day) start = first_start(length, std::max<Height>(-end, first_day));
  }
  if (!start) return {Reach::Kind::impossible};
  return {Reach::Kind::height, to_height(*start)};
}

}  // namespace budwood::network
