#include "levelling/season/place.hpp"

#include <algorithm>
#include <map>
#include <tuple>

namespace budwood::levelling {

namespace {

constexpr Cost thousandths = 1000;

Cost least_cost(const Term& term, Day low, Day high) {
  return term.at(std::clamp(term.wanted, low, high));
}

bool better(const Placement& a, const Placement& b) {
  return !b.found || std::tie(a.missing, a.costs) < std::tie(b.missing, b.costs);
}

}  // namespace

Placer::Placer(const Problem& problem, const Groups& groups, Profile& profile)
    : problem_(problem), groups_(groups), profile_(profile), windows_(problem, groups) {}

Placement Placer::place(GroupId group, const std::vector<Day>& wanted, const Schedule& schedule,
                        const std::vector<bool>& placed, std::size_t most_tries, Cost most) {
  most_ = most;
  Placement out;
  for (const Next next : {Next::cheapest, Next::last_of_cheapest, Next::last}) {
    start(group, schedule, placed, next);
    try_windows(group, wanted, most_tries, out);
    // Everything was tried.
    if (out.fits || nodes_.empty()) break;
  }
  return out;
}

void Placer::try_windows(GroupId group, const std::vector<Day>& wanted, std::size_t most_tries,
                         Placement& best) {
  for (std::size_t tries = 0; tries < most_tries && !nodes_.empty(); ++tries) {
    const Node node = pop();
    Placement found = settle(group, node, wanted);
    if (!found.found) continue;
    if (better(found, best)) best = std::move(found);
    if (best.fits) break;
    branch(group, node);
  }
}

Costs Placer::least_costs(GroupId group, const std::vector<Day>& wanted, const Schedule& schedule,
                          const std::vector<bool>& placed, std::size_t most_tries) {
  Costs least{};
  most_ = std::numeric_limits<Cost>::max();
  start(group, schedule, placed, Next::cheapest);
  for (std::size_t tries = 0; tries < most_tries && !nodes_.empty(); ++tries) {
    const Node node = pop();
    // What is opened later lies within what was opened before, and costs no less.
    least = node.bound;
    const Placement found = settle(group, node, wanted);
    // Where a group is in its own way, branching leaves out schedules that might do.
    if (!found.found || found.fits || clash_->own) break;
    branch(group, node);
  }
  return least;
}

void Placer::start(GroupId group, const Schedule& schedule, const std::vector<bool>& placed,
                   Next next) {
  nodes_.clear();
  next_ = next;
  open(group, first_windows(group, schedule, placed));
}

Placer::Node Placer::pop() {
  std::pop_heap(nodes_.begin(), nodes_.end(),
                [this](const Node& a, const Node& b) { return comes_later(a, b); });
  Node node = std::move(nodes_.back());
  nodes_.pop_back();
  return node;
}

void Placer::branch(GroupId group, const Node& node) {
  const Use& use = problem_.uses[clash_->use];
  if (clash_->later) {
    Node child = node;
    ++child.depth;
    Day& low = child.low[groups_.place(use.from.point)];
    low = std::max(low, *clash_->later);
    open(group, std::move(child));
  }
  if (clash_->earlier) {
    Node child = node;
    ++child.depth;
    Day& high = child.high[groups_.place(use.to.point)];
    high = std::min(high, *clash_->earlier);
    open(group, std::move(child));
  }
}

void Placer::open(GroupId group, Node node) {
  if (!windows_.raise(group, node.low, node.high)) return;
  if (!windows_.lower(group, node.low, node.high)) return;
  node.bound = bound_of(group, node);
  if (node.bound[0] > most_) return;
  nodes_.push_back(std::move(node));
  std::push_heap(nodes_.begin(), nodes_.end(),
                 [this](const Node& a, const Node& b) { return comes_later(a, b); });
}

Placer::Node Placer::first_windows(GroupId group, const Schedule& schedule,
                                   const std::vector<bool>& placed) const {
  Node node;
  for (const PointId p : groups_.points(group)) {
    node.low.push_back(problem_.points[p].earliest);
    node.high.push_back(problem_.points[p].latest);
  }
  for (const std::uint32_t id : groups_.ties(group)) {
    const Lag& lag = problem_.lags[id];
    if (problem_.points[lag.to].group == group) {
      if (!placed[problem_.points[lag.from].group]) continue;
      Day& low = node.low[groups_.place(lag.to)];
      low = std::max(low, schedule.days[lag.from] + lag.days);
    } else {
      if (!placed[problem_.points[lag.to].group]) continue;
      Day& high = node.high[groups_.place(lag.from)];
      high = std::min(high, schedule.days[lag.to] - lag.days);
    }
  }
  return node;
}

Costs Placer::bound_of(GroupId group, const Node& node) const {
  Costs out{};
  for (const std::uint32_t id : groups_.terms(group)) {
    const Groups::LevelTerm& one = groups_.term(id);
    const std::uint32_t place = groups_.place(one.term.point);
    out[one.level] += least_cost(one.term, node.low[place], node.high[place]);
  }
  return out;
}

/// The least schedule on or after the wanted days, as far as the window allows these.
Placement Placer::settle(GroupId group, const Node& node, const std::vector<Day>& wanted) {
  Placement out;
  const auto points = groups_.points(group);
  out.days.resize(points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    out.days[i] = std::clamp(wanted[points[i]], node.low[i], node.high[i]);
  }
  if (!windows_.raise(group, out.days, node.high)) return out;
  out.found = true;
  clash_.reset();
  taken_.clear();
  const auto uses = groups_.uses(group);
  out.slips.assign(uses.size(), 0);
  for (const bool slipping : {false, true}) {
    for (std::size_t i = 0; i < uses.size(); ++i) {
      if ((problem_.uses[uses[i]].slack > 0) == slipping) take_use(node, uses[i], out, i);
    }
  }
  for (const Taken& one : taken_) {
    profile_.give_back(one.resource, one.amount, one.first, one.end);
  }
  out.fits = out.missing == 0;
  for (const std::uint32_t id : groups_.terms(group)) {
    const Groups::LevelTerm& one = groups_.term(id);
    out.costs[one.level] += one.term.at(out.days[groups_.place(one.term.point)]);
  }
  if (problem_.objectives.empty()) return out;
  for (std::size_t i = 0; i < uses.size(); ++i) {
    out.costs[problem_.objectives.size() - 1] += problem_.uses[uses[i]].cost(out.slips[i]);
  }
  return out;
}

void Placer::take_use(const Node& node, std::uint32_t id, Placement& placement, std::size_t place) {
  const Use& use = problem_.uses[id];
  const Day begin = placement.days[groups_.place(use.from.point)] + use.from.offset;
  const Day end = placement.days[groups_.place(use.to.point)] + use.to.offset;
  if (use.slack > 0 || use.starts != nullptr) {
    take_slipping(node, id, begin, end - begin, placement, place);
    return;
  }
  if (const auto day = profile_.first_short(use.resource, use.amount, begin, end)) {
    if (!clash_) clash_at(node, id, *day);
    add_missing(use, begin, end, placement);
  }
  note_taken(use, begin, end);
}

/// The day nearest to the wanted one on which there is enough.
void Placer::take_slipping(const Node& node, std::uint32_t id, Day begin, Day length,
                           Placement& placement, std::size_t place) {
  const Use& use = problem_.uses[id];
  std::optional<Day> nearest;
  for (Day away = 0; away <= std::max(use.wanted, use.slack - use.wanted); ++away) {
    for (const Day slip : {use.wanted + away, use.wanted - away}) {
      if (slip < 0 || slip > use.slack) continue;
      const Day day = begin + slip;
      if (use.starts != nullptr && !use.starts->contains(day)) continue;
      if (!nearest) nearest = slip;
      if (profile_.first_short(use.resource, use.amount, day, day + length)) continue;
      placement.slips[place] = slip;
      note_taken(use, day, day + length);
      return;
    }
  }
  if (!nearest && use.optional) {
    placement.slips[place] = left_out;
    return;
  }
  if (!clash_) clash_around(node, id, begin, length);
  placement.slips[place] = nearest.value_or(0);
  const Day day = begin + placement.slips[place];
  add_missing(use, day, day + length, placement);
  note_taken(use, day, day + length);
}

/// The use can begin after the days that are short, or end before them. Where the group is short of
/// what it takes itself, only the one day is left out.
void Placer::clash_at(const Node& node, std::uint32_t id, Day day) {
  const Use& use = problem_.uses[id];
  clash_ = Clash{id, std::nullopt, std::nullopt, takes_itself(use.resource, day)};
  const Day latest = node.high[groups_.place(use.from.point)] + use.from.offset;
  Day last = day;
  while (!clash_->own && last < latest && last < profile_.last_day() &&
         profile_.free(use.resource, last + 1) < use.amount) {
    ++last;
  }
  if (last < latest) clash_->later = last + 1 - use.from.offset;
  const Day earlier = day - use.to.offset;
  if (earlier >= node.low[groups_.place(use.to.point)]) clash_->earlier = earlier;
}

/// The nearest days, either way, on which a use that may slip finds enough.
void Placer::clash_around(const Node& node, std::uint32_t id, Day begin, Day length) {
  const Use& use = problem_.uses[id];
  const std::uint32_t place = groups_.place(use.from.point);
  clash_ = Clash{id, std::nullopt, std::nullopt, false};
  const auto enough = [&](Day day) {
    if (use.starts != nullptr && !use.starts->contains(day)) return false;
    return !profile_.first_short(use.resource, use.amount, day, day + length);
  };
  for (Day day = begin; day <= begin + use.slack; ++day) {
    if (takes_itself(use.resource, day)) clash_->own = true;
  }
  if (clash_->own) {
    if (begin < node.high[place] + use.from.offset) clash_->later = begin + 1 - use.from.offset;
    if (begin > node.low[place] + use.from.offset) clash_->earlier = begin - 1 - use.from.offset;
    return;
  }
  for (Day start = begin + 1; start <= node.high[place] + use.from.offset; ++start) {
    if (!enough(start + use.slack)) continue;
    clash_->later = start - use.from.offset;
    break;
  }
  for (Day start = begin - 1; start >= node.low[place] + use.from.offset; --start) {
    if (!enough(start)) continue;
    clash_->earlier = start - use.from.offset;
    break;
  }
}

bool Placer::takes_itself(ResourceId resource, Day day) const {
  return std::any_of(taken_.begin(), taken_.end(), [&](const Taken& one) {
    return one.resource == resource && one.first <= day && day < one.end;
  });
}

void Placer::add_missing(const Use& use, Day first, Day end, Placement& placement) const {
  for (Day day = first; day < end; ++day) {
    const Amount free = std::max<Amount>(0, profile_.free(use.resource, day));
    const Amount missing = std::max<Amount>(0, use.amount - free);
    placement.missing += std::max<Cost>(missing > 0 ? 1 : 0, missing * thousandths / use.amount);
  }
}

void Placer::note_taken(const Use& use, Day first, Day end) {
  profile_.take(use.resource, use.amount, first, end);
  taken_.push_back({use.resource, use.amount, first, end});
}

void Placer::take(GroupId group, const Schedule& schedule, Profile& profile, bool back) const {
  for (const std::uint32_t id : groups_.uses(group)) {
    if (schedule.slips[id] == left_out) continue;
    const Use& use = problem_.uses[id];
    const Day slip = schedule.slips[id];
    profile.take(use.resource, back ? -use.amount : use.amount,
                 schedule.days[use.from.point] + use.from.offset + slip,
                 schedule.days[use.to.point] + use.to.offset + slip);
  }
}

std::vector<Placer::Short> Placer::shorts(GroupId group, const Schedule& schedule) const {
  std::map<std::pair<ResourceId, Day>, Amount> taken;
  for (const std::uint32_t id : groups_.uses(group)) {
    const Use& use = problem_.uses[id];
    const Day slip = schedule.slips[id];
    if (slip == left_out || use.amount <= 0) continue;
    const Day end = schedule.days[use.to.point] + use.to.offset + slip;
    for (Day day = schedule.days[use.from.point] + use.from.offset + slip; day < end; ++day) {
      taken[{use.resource, day}] += use.amount;
    }
  }
  std::vector<Short> out;
  for (const auto& [place, amount] : taken) {
    const Amount free = profile_.free(place.first, place.second);
    if (amount > free) out.push_back({place.first, place.second, amount - free});
  }
  return out;
}

bool Placer::has_enough(GroupId group, const Schedule& schedule) const {
  const auto uses = groups_.uses(group);
  return std::all_of(uses.begin(), uses.end(), [&](std::uint32_t id) {
    const Use& use = problem_.uses[id];
    const Day slip = schedule.slips[id];
    return slip == left_out || use.amount <= 0 ||
           !profile_.first_short(use.resource, 0,
                                 schedule.days[use.from.point] + use.from.offset + slip,
                                 schedule.days[use.to.point] + use.to.offset + slip);
  });
}

Costs Placer::cost_of(GroupId group, const Schedule& schedule) const {
  Costs out{};
  for (const std::uint32_t id : groups_.terms(group)) {
    const Groups::LevelTerm& one = groups_.term(id);
    out[one.level] += one.term.at(schedule.days[one.term.point]);
  }
  if (problem_.objectives.empty()) return out;
  for (const std::uint32_t id : groups_.uses(group)) {
    out[problem_.objectives.size() - 1] += problem_.uses[id].cost(schedule.slips[id]);
  }
  return out;
}

}  // namespace budwood::levelling
