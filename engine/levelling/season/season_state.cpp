#include "levelling/season/season_state.hpp"

#include <numeric>

namespace budwood::levelling {

namespace {

/// From the days that are best by bonds and works of single days on.
constexpr std::size_t tries_beside = 20;

}  // namespace

SeasonState::SeasonState(const Problem& problem, const SeasonOptions& options)
    : problem_(problem),
      options_(options),
      groups_(problem),
      profile_(problem),
      fixed_profile_(problem),
      placer_(problem, groups_, profile_),
      wanted_(options.wanted) {
  const std::size_t count = groups_.count();
  season_.schedule.days = options.wanted;
  season_.schedule.slips.assign(problem.uses.size(), 0);
  season_.placed.assign(count, false);
  season_.dated.assign(count, false);
  missing_.assign(count, 0);
  costs_.assign(count, Costs{});
  takes_.assign(count, false);
}

std::vector<GroupId> SeasonState::order() const {
  if (!options_.order.empty()) return options_.order;
  std::vector<GroupId> all(groups_.count());
  std::iota(all.begin(), all.end(), 0U);
  return all;
}

Cost SeasonState::weight(GroupId group) const {
  return options_.weights.empty() ? 1 : options_.weights[group];
}

void SeasonState::settle(GroupId group, const Placement& placement, bool anyway) {
  const auto points = groups_.points(group);
  const auto uses = groups_.uses(group);
  for (std::size_t i = 0; i < points.size(); ++i) {
    season_.schedule.days[points[i]] = placement.days[i];
  }
  for (std::size_t i = 0; i < uses.size(); ++i) {
    season_.schedule.slips[uses[i]] = placement.slips[i];
  }
  season_.dated[group] = true;
  season_.placed[group] = placement.fits;
  missing_[group] = placement.missing;
  costs_[group] = placement.costs;
  takes_[group] = placement.fits || anyway;
  if (takes_[group]) placer_.take(group, season_.schedule);
}

Placement SeasonState::at_best(GroupId group, Cost most) {
  const std::vector<Day> days = prices_->days_for(group, {&profile_, priced_, most});
  if (days.empty()) return {};
  const auto points = groups_.points(group);
  for (std::size_t i = 0; i < points.size(); ++i) wanted_[points[i]] = days[i];
  Placement found =
      placer_.place(group, wanted_, season_.schedule, season_.placed, tries_beside, most);
  return found;
}

void SeasonState::put(GroupId group, std::size_t tries, bool anyway, Cost most) {
  Placement found = at_best(group, most);
  if (!found.fits) {
    found = placer_.place(group, options_.wanted, season_.schedule, season_.placed, tries, most);
  }
  if (found.found) {
    settle(group, found, anyway);
  } else {
    season_.dated[group] = season_.placed[group] = false;
    missing_[group] = 0;
    costs_[group] = Costs{};
  }
}

void SeasonState::take_out(GroupId group) {
  if (takes_[group]) placer_.take(group, season_.schedule, true);
  takes_[group] = season_.dated[group] = season_.placed[group] = false;
}

void SeasonState::add_up() {
  totals_ = Totals{};
  for (GroupId g = 0; g < groups_.count(); ++g) add(g, 1);
  totals_.unevenness = profile_.unevenness();
}

void SeasonState::add(GroupId group, Cost times) {
  if (!season_.placed[group]) totals_.unplaced += times * weight(group);
  totals_.missing += times * missing_[group];
  for (std::size_t level = 0; level < most_objectives; ++level) {
    totals_.costs[level] += times * costs_[group][level];
  }
}

Standing SeasonState::standing() const {
  Standing out;
  out.unplaced = totals_.unplaced;
  out.missing = totals_.missing;
  const auto levels = static_cast<std::ptrdiff_t>(problem_.objectives.size());
  out.costs.assign(totals_.costs.begin(), totals_.costs.begin() + levels);
  out.unevenness = totals_.unevenness;
  return out;
}

SeasonState::Former SeasonState::former(GroupId group) const {
  Former out{group,
             season_.placed[group],
             season_.dated[group],
             takes_[group],
             missing_[group],
             costs_[group],
             {},
             {}};
  for (const PointId p : groups_.points(group)) out.days.push_back(season_.schedule.days[p]);
  for (const std::uint32_t u : groups_.uses(group)) {
    out.slips.push_back(season_.schedule.slips[u]);
  }
  return out;
}

SeasonState::Former SeasonState::leave(GroupId group) {
  Former out = former(group);
  add(group, -1);
  take_out(group);
  return out;
}

void SeasonState::restore(const Former& former) {
  Placement placement;
  placement.days = former.days;
  placement.slips = former.slips;
  if (former.dated) settle(former.group, placement, former.takes);
  season_.placed[former.group] = former.placed;
  missing_[former.group] = former.missing;
  costs_[former.group] = former.costs;
}

void SeasonState::stand(GroupId group) {
  season_.placed[group] = takes_[group] = true;
  missing_[group] = 0;
  costs_[group] = placer_.cost_of(group, season_.schedule);
  placer_.take(group, season_.schedule);
  add(group, 1);
}

void SeasonState::go_back(const std::vector<Former>& formers, const Totals& before) {
  for (const Former& one : formers) take_out(one.group);
  for (const Former& one : formers) restore(one);
  totals_ = before;
  profile_.set_unevenness(before.unevenness);
}

}  // namespace budwood::levelling
