#include "levelling/season/crowding.hpp"

#include <algorithm>

namespace budwood::levelling {

namespace {

/// To lack the largest use on a day costs as much as being so many days late at first. Each sweep
/// after which it is lacking makes it dearer: by a share of what it costs, and by so much for each
/// largest use that lacks, be it ever so little.
constexpr double crowded_at_first = 0.3;
constexpr double growth = 1.02;
constexpr double more_by_sweep = 0.3;
constexpr double least_lack = 0.3;
/// Of those who are crowded so many choose again that they give back so many times what is lacking.
constexpr Amount many_times = 2;

}  // namespace

SeasonCrowding::SeasonCrowding(const Problem& problem, const SeasonOptions& options)
    : SeasonState(problem, options), windows_(problem, groups_) {
  days_ = static_cast<std::size_t>(std::max(0, profile_.last_day() - profile_.first_day() + 1));
  crowd_.assign(problem.resources.size() * days_, crowded_at_first);
  lack_.assign(crowd_.size(), 0);
  scale_.assign(problem.resources.size(), 1);
  for (const Use& use : problem.uses) {
    scale_[use.resource] = std::max(scale_[use.resource], static_cast<double>(use.amount));
  }
}

/// Those bound to others would have to move with them.
bool SeasonCrowding::may_crowd(GroupId group) const {
  return !groups_.is_fixed(group) && groups_.ties(group).empty() && season_.placed[group];
}

bool SeasonCrowding::negotiate(const std::vector<GroupId>& groups, const Effort& effort,
                               std::mt19937_64& random) {
  const Totals before = totals_;
  std::vector<Former> formers;
  for (const GroupId g : groups) formers.push_back(leave(g));
  const bool enough = sweep(formers, effort, random);
  for (const std::size_t here : raised_) crowd_[here] = crowded_at_first;
  raised_.clear();
  totals_.unevenness = profile_.unevenness();
  if (enough && totals_.costs[0] <= effort.most) return true;
  go_back(formers, before);
  return false;
}

/// Until nobody is crowded, or it is clear that they would cost too much.
bool SeasonCrowding::sweep(const std::vector<Former>& formers, const Effort& effort,
                           std::mt19937_64& random) {
  std::vector<const Former*> left;
  for (const Former& one : formers) left.push_back(&one);
  std::shuffle(left.begin(), left.end(), random);
  std::size_t moves = 0;
  while (moves < effort.moves) {
    for (const Former* one : left) move(*one);
    moves += left.size();
    if (totals_.costs[0] > effort.most || effort.stop()) return false;
    left.clear();
    for (const Former& one : formers) {
      if (note_crowded(one.group)) left.push_back(&one);
    }
    if (left.empty()) return true;
    std::shuffle(left.begin(), left.end(), random);
    std::erase_if(left, [this](const Former* one) { return !gives_way(one->group); });
    raise_crowded();
  }
  return false;
}

/// One for which there are no such days is where it was.
void SeasonCrowding::move(const Former& former) {
  if (takes_[former.group]) {
    add(former.group, -1);
    take_out(former.group);
  }
  const std::vector<Day> days = crowded_days(former.group);
  if (days.empty()) {
    restore(former);
  } else {
    stand_crowded(former.group, days);
  }
  add(former.group, 1);
}

std::vector<Day> SeasonCrowding::crowded_days(GroupId group) {
  std::vector<Day> days =
      prices_->days_for(group, {&profile_, true, std::numeric_limits<Cost>::max(), &crowd_});
  if (days.empty()) return days;
  // Bonds that close a ring are not all in a tree.
  std::vector<Day> latest;
  for (const PointId p : groups_.points(group)) latest.push_back(problem_.points[p].latest);
  if (!windows_.raise(group, days, latest)) days.clear();
  return days;
}

void SeasonCrowding::stand_crowded(GroupId group, const std::vector<Day>& days) {
  const auto points = groups_.points(group);
  for (std::size_t i = 0; i < points.size(); ++i) season_.schedule.days[points[i]] = days[i];
  for (const bool slipping : {false, true}) {
    for (const std::uint32_t id : groups_.uses(group)) {
      const Use& use = problem_.uses[id];
      const bool slips = use.slack > 0 || use.starts != nullptr;
      if (slips != slipping) continue;
      const Day begin = season_.schedule.days[use.from.point] + use.from.offset;
      const Day end = season_.schedule.days[use.to.point] + use.to.offset;
      const Day slip = slips ? slip_crowded(use, begin, end) : 0;
      season_.schedule.slips[id] = slip;
      if (slip != left_out) profile_.take(use.resource, use.amount, begin + slip, end + slip);
    }
  }
  season_.dated[group] = season_.placed[group] = takes_[group] = true;
  missing_[group] = 0;
  costs_[group] = placer_.cost_of(group, season_.schedule);
}

/// The cheapest of the days on which it may begin, and of those the nearest to the wanted one.
Day SeasonCrowding::slip_crowded(const Use& use, Day begin, Day end) const {
  Day best = left_out;
  double least = impossible;
  for (Day away = 0; away <= std::max(use.wanted, use.slack - use.wanted); ++away) {
    for (const Day slip : {use.wanted + away, use.wanted - away}) {
      if (slip < 0 || slip > use.slack) continue;
      if (use.starts != nullptr && !use.starts->contains(begin + slip)) continue;
      const double cost = crowded_cost(use, begin + slip, end + slip);
      if (cost >= least) continue;
      least = cost;
      best = slip;
    }
  }
  return best;
}

double SeasonCrowding::crowded_cost(const Use& use, Day begin, Day end) const {
  double cost = 0;
  for (Day day = begin; day < end; ++day) {
    const Amount free = std::max<Amount>(0, profile_.free(use.resource, day));
    if (free >= use.amount) continue;
    cost += crowd_[at(use.resource, day)] * static_cast<double>(use.amount - free) /
            scale_[use.resource];
  }
  return cost;
}

template <typename Look>
void SeasonCrowding::each_taken(GroupId group, const Look& look) const {
  for (const std::uint32_t id : groups_.uses(group)) {
    const Use& use = problem_.uses[id];
    const Day slip = season_.schedule.slips[id];
    if (slip == left_out || use.amount <= 0) continue;
    const Day end = season_.schedule.days[use.to.point] + use.to.offset + slip;
    for (Day day = season_.schedule.days[use.from.point] + use.from.offset + slip; day < end;
         ++day) {
      look(use.resource, day, use.amount);
    }
  }
}

/// Whether the group is where there is not enough.
bool SeasonCrowding::note_crowded(GroupId group) {
  bool any = false;
  each_taken(group, [&](ResourceId resource, Day day, Amount) {
    const Amount free = profile_.free(resource, day);
    if (free >= 0) return;
    any = true;
    Amount& lack = lack_[at(resource, day)];
    if (lack == 0) crowded_.push_back({resource, day});
    lack = -many_times * free;
  });
  return any;
}

/// Whether the group, where it is, takes of what others before it do not leave for those who stay.
bool SeasonCrowding::gives_way(GroupId group) {
  bool any = false;
  each_taken(group, [&](ResourceId resource, Day day, Amount amount) {
    Amount& lack = lack_[at(resource, day)];
    if (lack <= 0) return;
    any = true;
    lack = std::max<Amount>(-1, lack - amount);
  });
  return any;
}

void SeasonCrowding::raise_crowded() {
  for (const Place& place : crowded_) {
    const std::size_t here = at(place.resource, place.day);
    const double lack =
        static_cast<double>(-profile_.free(place.resource, place.day)) / scale_[place.resource];
    crowd_[here] = growth * crowd_[here] + more_by_sweep * (least_lack + lack);
    raised_.push_back(here);
    lack_[here] = 0;
  }
  crowded_.clear();
}

}  // namespace budwood::levelling
