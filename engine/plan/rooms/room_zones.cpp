#include "plan/rooms/room_zones.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace budwood::plan {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

}  // namespace

std::size_t RoomZones::add(const ClimateStay& stay) {
  const auto [place, fresh] = by_climate_.try_emplace({stay.start, stay.profile}, groups_.size());
  if (!fresh) {
    ++groups_[place->second].stays;
    return place->second;
  }
  const std::size_t number = groups_.size();
  groups_.push_back({stay, stay.start + profiles_[stay.profile].days - 1, 1, 0, {}});
  std::size_t best = 0;
  int fewest = std::numeric_limits<int>::max();
  for (std::size_t z = 0; z < zones_.size() && fewest > 0; ++z) {
    // While there can be one more zone, one day is as bad as many.
    const int enough = zones_.size() < most_zones_ ? 1 : fewest;
    const int amiss = days_amiss(zones_[z], groups_.back(), enough);
    if (amiss < fewest) {
      fewest = amiss;
      best = z;
    }
  }
  if (fewest > 0 && zones_.size() < most_zones_) {
    best = zones_.size();
    zones_.emplace_back();
  } else if (fewest > 0) {
    groups_.back().differences = differences(zones_[best], groups_.back());
  }
  groups_.back().zone = best;
  put(zones_[best], number);
  return number;
}

/// Days beyond those that are enough are not counted.
int RoomZones::days_amiss(const Zone& zone, const StayGroup& group, int enough) const {
  const ClimateProfile& profile = profiles_[group.first.profile];
  const calendar::Day begin = std::max(group.first.start, zone.first);
  const calendar::Day end =
      std::min(group.last_day + 1, zone.first + static_cast<calendar::Day>(zone.days.size()));
  int amiss = 0;
  for (calendar::Day day = begin; day < end && amiss < enough; ++day) {
    const Ends& ends = zone.days[static_cast<std::size_t>(day - zone.first)];
    const auto at_odds = [&](const ClimateProfile::Column& column) {
      const Band& band = column.bands[static_cast<std::size_t>(day - group.first.start)];
      if (std::isnan(band.low)) return false;
      const double tolerance = tolerance_[column.number];
      return beyond(band.low - ends.lowest_high[column.number], tolerance, band.low) ||
             beyond(ends.highest_low[column.number] - band.high, tolerance, band.high);
    };
    if (std::any_of(profile.columns.begin(), profile.columns.end(), at_odds)) ++amiss;
  }
  return amiss;
}

/// Nobody comes earlier than the group does, so what lies before it can go.
void RoomZones::put(Zone& zone, std::size_t number) {
  const StayGroup& group = groups_[number];
  const calendar::Day start = group.first.start;
  while (!zone.days.empty() && zone.first < start) {
    zone.days.pop_front();
    ++zone.first;
  }
  if (zone.days.empty()) zone.first = start;
  std::erase_if(zone.groups, [&](std::size_t one) { return groups_[one].last_day < start; });
  zone.groups.push_back(number);
  const ClimateProfile& profile = profiles_[group.first.profile];
  const auto days = static_cast<std::size_t>(profile.days);
  if (zone.days.size() < days) {
    const std::vector<double>::size_type columns = climate_columns().size();
    zone.days.resize(
        days, {std::vector<double>(columns, -infinity), std::vector<double>(columns, infinity)});
  }
  for (const ClimateProfile::Column& column : profile.columns) {
    for (std::size_t i = 0; i < days; ++i) {
      const Band& band = column.bands[i];
      if (std::isnan(band.low)) continue;
      Ends& ends = zone.days[i];
      ends.highest_low[column.number] = std::max(ends.highest_low[column.number], band.low);
      ends.lowest_high[column.number] = std::min(ends.lowest_high[column.number], band.high);
    }
  }
}

Difference RoomZones::difference(const StayGroup& group, std::size_t number) const {
  const StayGroup& other = groups_[number];
  Difference out;
  out.other = number;
  const ClimateProfile& mine = profiles_[group.first.profile];
  const ClimateProfile& theirs = profiles_[other.first.profile];
  const calendar::Day begin = std::max(group.first.start, other.first.start);
  const calendar::Day end = std::min(group.last_day, other.last_day);
  std::vector<bool> amiss(end < begin ? 0 : static_cast<std::size_t>(end - begin + 1));
  for (const ClimateProfile::Column& column : mine.columns) {
    const auto same = std::find_if(theirs.columns.begin(), theirs.columns.end(),
                                   [&](const auto& one) { return one.number == column.number; });
    if (same == theirs.columns.end()) continue;
    std::optional<ColumnDifference> worst;
    Band a_first, b_first;
    for (calendar::Day day = begin; day <= end; ++day) {
      const Band& a = column.bands[static_cast<std::size_t>(day - group.first.start)];
      const Band& b = same->bands[static_cast<std::size_t>(day - other.first.start)];
      const double apart = gap(a, b);
      if (!beyond(apart, tolerance_[column.number], a.low)) continue;
      amiss[static_cast<std::size_t>(day - begin)] = true;
      if (!worst) {
        worst = {column.number, apart, day, false};
        a_first = a;
        b_first = b;
      }
      worst->changes = worst->changes || a != a_first || b != b_first;
      if (apart <= worst->gap + sheet::slack(apart, worst->gap)) continue;
      worst->gap = apart;
      worst->day = day;
    }
    if (worst) out.columns.push_back(*worst);
  }
  for (std::size_t i = 0; i < amiss.size(); ++i) {
    if (!amiss[i]) continue;
    out.last = begin + static_cast<calendar::Day>(i);
    if (out.days++ == 0) out.first = out.last;
  }
  return out;
}

/// Those with whom the group is at odds, the worst first. In a crowded room it is enough to have
/// looked at some of them.
std::vector<Difference> RoomZones::differences(const Zone& zone, const StayGroup& group) const {
  constexpr std::size_t enough = 50;
  std::vector<Difference> out;
  std::size_t looked_at = 0;
  for (const std::size_t other : zone.groups) {
    if (looked_at++ >= enough && !out.empty()) break;
    Difference found = difference(group, other);
    if (found.days > 0) out.push_back(std::move(found));
  }
  std::stable_sort(out.begin(), out.end(), [](const Difference& a, const Difference& b) {
    if (a.days != b.days) return a.days > b.days;
    return a.columns.size() > b.columns.size();
  });
  return out;
}

}  // namespace budwood::plan
