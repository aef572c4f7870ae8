#include "levelling/season/price_trees.hpp"

#include <algorithm>
#include <cstdlib>
#include <map>

#include "levelling/season/windows.hpp"

namespace budwood::levelling {

PriceTreeMaker::PriceTreeMaker(const Problem& problem, const Groups& groups, GroupId group)
    : problem_(problem), groups_(groups), group_(group) {
  find_windows();
  if (!possible_) return;
  put_together();
  find_bonds();
}

void PriceTreeMaker::find_windows() {
  for (const PointId p : groups_.points(group_)) {
    low_.push_back(problem_.points[p].earliest);
    high_.push_back(problem_.points[p].latest);
  }
  const Windows windows(problem_, groups_);
  possible_ = windows.raise(group_, low_, high_) && windows.lower(group_, low_, high_);
}

/// Points that are always as many days apart become one. Where two bonds say so differently, one of
/// them is left out.
void PriceTreeMaker::put_together() {
  const std::size_t count = groups_.points(group_).size();
  stands_.resize(count);
  std::vector<std::vector<std::uint32_t>> together(count);
  for (std::uint32_t i = 0; i < count; ++i) {
    stands_[i] = {i, 0};
    together[i] = {i};
  }
  std::map<std::pair<std::uint32_t, std::uint32_t>, Day> least;
  for (const std::uint32_t id : groups_.lags(group_)) {
    const Lag& lag = problem_.lags[id];
    const std::uint32_t from = groups_.place(lag.from), to = groups_.place(lag.to);
    const auto [at, fresh] = least.try_emplace({from, to}, lag.days);
    if (!fresh) at->second = std::max(at->second, lag.days);
  }
  for (const auto& [ends, days] : least) {
    const auto back = least.find({ends.second, ends.first});
    if (ends.first >= ends.second || back == least.end() || back->second != -days) continue;
    const Stand from = stands_[ends.first], to = stands_[ends.second];
    if (from.place == to.place) continue;
    const Day shift = from.offset + days - to.offset;
    for (const std::uint32_t one : together[to.place]) {
      stands_[one] = {from.place, stands_[one].offset + shift};
      together[from.place].push_back(one);
    }
    together[to.place].clear();
  }
}

PriceTreeMaker::Bond& PriceTreeMaker::bond(std::uint32_t from, std::uint32_t to) {
  for (Bond& one : bonds_) {
    if (one.from == std::min(from, to) && one.to == std::max(from, to)) return one;
  }
  Bond fresh;
  fresh.from = std::min(from, to);
  fresh.to = std::max(from, to);
  bonds_.push_back(fresh);
  return bonds_.back();
}

/// The tightest bonds come first, so that they are in the tree.
void PriceTreeMaker::find_bonds() {
  for (const std::uint32_t id : groups_.lengths(group_)) {
    const Length& length = problem_.lengths[id];
    const Stand from = stand_of(length.from), to = stand_of(length.to);
    if (from.place == to.place) continue;
    Bond& one = bond(from.place, to.place);
    one.lengths.push_back({&length, from.offset, to.offset, from.place == one.from});
  }
  for (const std::uint32_t id : groups_.lags(group_)) {
    const Lag& lag = problem_.lags[id];
    const Stand from = stand_of(lag.from), to = stand_of(lag.to);
    if (from.place == to.place) continue;
    Bond& one = bond(from.place, to.place);
    const Day days = lag.days + from.offset - to.offset;
    if (from.place == one.from) {
      one.least = std::max(one.least, days);
    } else {
      one.most = std::min(one.most, -days);
    }
  }
  const auto room = [](const Bond& one) {
    const bool fixed = std::any_of(one.lengths.begin(), one.lengths.end(),
                                   [](const BoundLength& by) { return !by.length->limit; });
    return fixed ? 0 : one.most - one.least;
  };
  std::stable_sort(bonds_.begin(), bonds_.end(),
                   [&](const Bond& a, const Bond& b) { return room(a) < room(b); });
}

bool PriceTreeMaker::is_given(const Use& use) const {
  const auto fixed = [&](PointId p) {
    return problem_.points[p].earliest == problem_.points[p].latest;
  };
  return use.slack == 0 && fixed(use.from.point) && fixed(use.to.point);
}

std::vector<GivenTake> PriceTreeMaker::given() const {
  std::vector<GivenTake> out;
  for (const std::uint32_t id : groups_.uses(group_)) {
    const Use& use = problem_.uses[id];
    if (!is_given(use)) continue;
    const Day first = problem_.points[use.from.point].earliest + use.from.offset;
    if (use.starts != nullptr && !use.starts->contains(first)) continue;
    out.push_back({use.resource, static_cast<double>(use.amount), first,
                   problem_.points[use.to.point].earliest + use.to.offset});
  }
  return out;
}

/// The days on which all that stand together may be.
PriceNode PriceTreeMaker::node(std::uint32_t place) const {
  const auto points = groups_.points(group_);
  PriceNode out;
  Day low = -never, high = never;
  for (std::uint32_t i = 0; i < points.size(); ++i) {
    if (stands_[i].place != place) continue;
    out.members.push_back({i, stands_[i].offset});
    low = std::max(low, low_[i] - stands_[i].offset);
    high = std::min(high, high_[i] - stands_[i].offset);
  }
  out.first = low;
  out.count = std::max(0, high - low + 1);
  for (const PriceNode::Member& one : out.members) {
    const calendar::DaySet* allowed = problem_.points[points[one.place]].allowed;
    if (allowed == nullptr) continue;
    out.open.resize(static_cast<std::size_t>(out.count), 1);
    for (std::int32_t x = 0; x < out.count; ++x) {
      if (!allowed->contains(low + x + one.offset)) out.open[static_cast<std::size_t>(x)] = 0;
    }
  }
  return out;
}

PriceTree PriceTreeMaker::tree() const {
  const std::size_t points = groups_.points(group_).size();
  // A forest: of bonds that would close a ring the loosest are left out.
  std::vector<std::uint32_t> root(points);
  for (std::uint32_t i = 0; i < root.size(); ++i) root[i] = i;
  const auto root_of = [&](std::uint32_t i) {
    while (root[i] != i) i = root[i] = root[root[i]];
    return i;
  };
  std::vector<std::vector<const Bond*>> bonds_of(points);
  for (const Bond& one : bonds_) {
    const std::uint32_t a = root_of(one.from), b = root_of(one.to);
    if (a == b) continue;
    root[a] = b;
    bonds_of[one.from].push_back(&one);
    bonds_of[one.to].push_back(&one);
  }
  PriceTree out;
  std::vector<std::int32_t> node_of(points, -1);
  std::vector<std::uint32_t> place_of;
  const auto add = [&](std::uint32_t place, std::int32_t parent) {
    node_of[place] = static_cast<std::int32_t>(out.nodes.size());
    place_of.push_back(place);
    out.nodes.push_back(node(place));
    out.nodes.back().parent = parent;
    out.nodes.back().at = out.size;
    out.size += static_cast<std::size_t>(out.nodes.back().count);
  };
  for (std::uint32_t start = 0; start < points; ++start) {
    if (stands_[start].place != start || node_of[start] >= 0) continue;
    std::size_t next = out.nodes.size();
    add(start, -1);
    for (; next < out.nodes.size(); ++next) {
      const std::uint32_t place = place_of[next];
      for (const Bond* one : bonds_of[place]) {
        const bool down = one->from == place;
        const std::uint32_t other = down ? one->to : one->from;
        if (node_of[other] >= 0) continue;
        add(other, static_cast<std::int32_t>(next));
        leave(*one, down, out.nodes.back(), out.nodes[next]);
      }
    }
  }
  add_takes(out.nodes, node_of);
  add_terms(out.nodes, node_of);
  for (PriceNode& one : out.nodes) close_days(one);
  return out;
}

/// Which days a bond leaves to the child; `down`: the bond goes from the parent to it.
void PriceTreeMaker::leave(const Bond& bond, bool down, PriceNode& child,
                           const PriceNode& parent) const {
  const Day shift = parent.first - child.first;
  const Day all = parent.count + child.count + std::abs(shift);
  child.least = std::clamp(shift + (down ? bond.least : -bond.most), -all, all);
  child.most = std::clamp(shift + (down ? bond.most : -bond.least), -all, all);
  if (bond.lengths.empty()) return;
  for (std::int32_t x = 0; x < parent.count; ++x) {
    child.from.push_back(std::clamp(x + child.least, 0, child.count));
    child.to.push_back(std::clamp(x + child.most, -1, child.count - 1));
  }
  for (const BoundLength& one : bond.lengths) {
    leave_by_length(one, one.forward == down, child, parent);
  }
}

/// `down`: the length goes from the parent to the child.
void PriceTreeMaker::leave_by_length(const BoundLength& bound, bool down, PriceNode& child,
                                     const PriceNode& parent) const {
  const Length& length = *bound.length;
  // By day of the node from which it goes: the day of the other one that is its end.
  std::vector<Day> ends;
  const PriceNode& source = down ? parent : child;
  for (std::int32_t i = 0; i < source.count; ++i) {
    const std::optional<Day> end = length.length->end_of(source.first + i + bound.from);
    ends.push_back(end ? *end - bound.to : calendar::last_day * 4);
  }
  for (std::int32_t x = 0; x < parent.count; ++x) {
    const auto at = static_cast<std::size_t>(x);
    std::int32_t least = 0, most = child.count - 1;
    if (down) {
      most = std::min<Day>(ends[at] - child.first, child.count - 1);
      if (!length.limit) least = std::max(0, ends[at] - child.first);
    } else {
      // The parent's day is that end, or not after it.
      const Day day = parent.first + x;
      least =
          static_cast<std::int32_t>(std::lower_bound(ends.begin(), ends.end(), day) - ends.begin());
      if (!length.limit) {
        most = static_cast<std::int32_t>(std::upper_bound(ends.begin(), ends.end(), day) -
                                         ends.begin()) -
               1;
      }
    }
    child.from[at] = std::max(child.from[at], std::min(least, child.count));
    child.to[at] = std::min(child.to[at], std::max(most, -1));
  }
}

void PriceTreeMaker::add_takes(std::vector<PriceNode>& nodes,
                               const std::vector<std::int32_t>& node_of) const {
  for (const std::uint32_t id : groups_.uses(group_)) {
    const Use& use = problem_.uses[id];
    if (use.amount <= 0 || is_given(use)) continue;
    const Stand from = stand_of(use.from.point), to = stand_of(use.to.point);
    PriceTake take;
    take.resource = use.resource;
    take.amount = static_cast<double>(use.amount);
    take.from = use.from.offset + from.offset;
    take.to = use.to.offset + to.offset;
    PriceNode& begins = nodes[static_cast<std::size_t>(node_of[from.place])];
    if (from.place == to.place) {
      if (take.to <= take.from) continue;
      take.slack = use.slack;
      take.starts = use.starts;
      take.optional = use.optional;
      begins.takes.push_back(take);
      continue;
    }
    take.side = PriceTake::Side::begin;
    begins.takes.push_back(take);
    take.side = PriceTake::Side::end;
    nodes[static_cast<std::size_t>(node_of[to.place])].takes.push_back(take);
  }
}

void PriceTreeMaker::add_terms(std::vector<PriceNode>& nodes,
                               const std::vector<std::int32_t>& node_of) const {
  for (const std::uint32_t id : groups_.terms(group_)) {
    const Groups::LevelTerm& one = groups_.term(id);
    const Stand stand = stand_of(one.term.point);
    PriceNode& of = nodes[static_cast<std::size_t>(node_of[stand.place])];
    (one.level == 0 ? of.terms : of.others).push_back(one.term);
    (one.level == 0 ? of.terms : of.others).back().wanted -= stand.offset;
  }
}

/// A node is not on days from which a use that must be has no day to begin on.
void PriceTreeMaker::close_days(PriceNode& node) const {
  for (const PriceTake& take : node.takes) {
    if (take.starts == nullptr || take.optional) continue;
    node.open.resize(static_cast<std::size_t>(node.count), 1);
    for (std::int32_t x = 0; x < node.count; ++x) {
      const Day begin = node.first + x + take.from;
      const std::optional<Day> next = take.starts->next(begin);
      if (!next || *next > begin + take.slack) node.open[static_cast<std::size_t>(x)] = 0;
    }
  }
}

}  // namespace budwood::levelling
