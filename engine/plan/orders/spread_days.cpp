#include "plan/orders/spread_days.hpp"

#include <algorithm>
#include <optional>

#include "sheet/site/site.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;

constexpr std::size_t most_parts = 1000;
constexpr Day farthest = 5 * 366;  ///< days ahead that are looked at

/// A day on which a crew is there, and for how many person-seconds.
struct CrewDay {
  Day day = 0;
  double there = 0;
};

std::vector<CrewDay> crew_days(const book::Site& site, const book::Crew& crew, Day first,
                               Day limit) {
  std::vector<CrewDay> out;
  const calendar::DaySet& working = site.working.days();
  for (auto day = working.next(first); day && *day <= limit && out.size() < most_parts;
       day = working.next(*day + 1)) {
    const double there = crew.person_seconds(*day, site.working);
    if (there > 0) out.push_back({*day, there});
  }
  return out;
}

/// The first `parts` days on which the crew is there for a part of `wanted`; nothing when there are
/// not so many.
std::optional<std::vector<Day>> days_for(const std::vector<CrewDay>& days, double wanted,
                                         std::size_t parts) {
  const double share = wanted / static_cast<double>(parts);
  std::vector<Day> out;
  for (const CrewDay& one : days) {
    if (one.there + sheet::slack(share, one.there) < share) continue;
    out.push_back(one.day);
    if (out.size() == parts) return out;
  }
  return std::nullopt;
}

/// Of the choices that fit the one that is done first.
std::optional<std::vector<Day>> best_days(const std::vector<CrewDay>& days, double wanted) {
  std::optional<std::vector<Day>> best;
  std::size_t usable = days.size();  // days behind the end of the best are no better
  for (std::size_t parts = 1; parts <= usable; ++parts) {
    auto found = days_for(days, wanted, parts);
    if (!found || (best && found->back() >= best->back())) continue;
    best = std::move(found);
    usable = static_cast<std::size_t>(std::count_if(
        days.begin(), days.end(), [&](const CrewDay& one) { return one.day < best->back(); }));
  }
  return best;
}

}  // namespace

SpreadDays spread_days(const book::Site& site, const book::Crew& crew, double wanted, Day first,
                       Day limit) {
  const Day horizon = std::min(first + farthest, calendar::last_day);
  const std::vector<CrewDay> inside = crew_days(site, crew, first, std::min(limit, horizon));
  if (auto days = best_days(inside, wanted)) return {std::move(*days), true};
  const auto unlimited = best_days(crew_days(site, crew, first, horizon), wanted);
  SpreadDays out{{}, false};
  for (const CrewDay& one : inside) {
    if (unlimited && out.days.size() == unlimited->size()) break;
    out.days.push_back(one.day);
  }
  if (out.days.empty()) out.days.push_back(first);
  return out;
}

}  // namespace budwood::plan
