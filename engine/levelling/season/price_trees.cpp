#include "levelling/season/price_trees.hpp"

#include <algorithm>

#include "levelling/season/windows.hpp"

namespace budwood::levelling {

PriceTreeMaker::PriceTreeMaker(const Problem& problem, const Groups& groups, GroupId group)
    : problem_(problem), groups_(groups), group_(group) {
  find_windows();
  if (possible_) find_bonds();
}

void PriceTreeMaker::find_windows() {
  for (const PointId p : groups_.points(group_)) {
    low_.push_back(problem_.points[p].earliest);
    high_.push_back(problem_.points[p].latest);
  }
  const Windows windows(problem_, groups_);
  possible_ = windows.raise(group_, low_, high_) && windows.lower(group_, low_, high_);
}

PriceTreeMaker::Bond& PriceTreeMaker::bond(PointId from, PointId to) {
  const std::uint32_t a = groups_.place(from), b = groups_.place(to);
  for (Bond& one : bonds_) {
    if (one.from == std::min(a, b) && one.to == std::max(a, b)) return one;
  }
  Bond fresh;
  fresh.from = std::min(a, b);
  fresh.to = std::max(a, b);
  bonds_.push_back(fresh);
  return bonds_.back();
}

/// The tightest bonds come first, so that they are in the tree.
void PriceTreeMaker::find_bonds() {
  for (const std::uint32_t id : groups_.lengths(group_)) {
    const Length& length = problem_.lengths[id];
    bond(length.from, length.to).lengths.push_back(&length);
  }
  for (const std::uint32_t id : groups_.lags(group_)) {
    const Lag& lag = problem_.lags[id];
    if (lag.from == lag.to) continue;
    Bond& one = bond(lag.from, lag.to);
    if (groups_.place(lag.from) == one.from) {
      one.least = std::max(one.least, lag.days);
    } else {
      one.most = std::min(one.most, -lag.days);
    }
  }
  const auto room = [](const Bond& one) {
    const bool fixed = std::any_of(one.lengths.begin(), one.lengths.end(),
                                   [](const Length* length) { return !length->limit; });
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

PriceTree PriceTreeMaker::tree() const {
  const auto points = groups_.points(group_);
  // A forest: of bonds that would close a ring the loosest are left out.
  std::vector<std::uint32_t> root(points.size());
  for (std::uint32_t i = 0; i < root.size(); ++i) root[i] = i;
  const auto root_of = [&](std::uint32_t i) {
    while (root[i] != i) i = root[i] = root[root[i]];
    return i;
  };
  std::vector<std::vector<const Bond*>> bonds_of(points.size());
  for (const Bond& one : bonds_) {
    const std::uint32_t a = root_of(one.from), b = root_of(one.to);
    if (a == b) continue;
    root[a] = b;
    bonds_of[one.from].push_back(&one);
    bonds_of[one.to].push_back(&one);
  }
  PriceTree out;
  std::vector<std::int32_t> node_of(points.size(), -1);
  std::vector<std::uint32_t> place_of;
  const auto add = [&](std::uint32_t place, std::int32_t parent) {
    node_of[place] = static_cast<std::int32_t>(out.nodes.size());
    place_of.push_back(place);
    PriceNode node;
    node.first = low_[place];
    node.count = high_[place] - low_[place] + 1;
    node.parent = parent;
    node.place = place;
    node.allowed = problem_.points[points[place]].allowed;
    node.at = out.size;
    out.size += static_cast<std::size_t>(node.count);
    out.nodes.push_back(std::move(node));
  };
  for (std::uint32_t start = 0; start < points.size(); ++start) {
    if (node_of[start] >= 0) continue;
    std::size_t next = out.nodes.size();
    add(start, -1);
    for (; next < out.nodes.size(); ++next) {
      const std::uint32_t place = place_of[next];
      for (const Bond* one : bonds_of[place]) {
        const bool down = one->from == place;
        const std::uint32_t other = down ? one->to : one->from;
        if (node_of[other] >= 0) continue;
        add(other, static_cast<std::int32_t>(next));
        PriceNode& child = out.nodes.back();
        child.chosen_at = out.choices;
        out.choices += static_cast<std::size_t>(out.nodes[next].count);
        leave(*one, down, child, out.nodes[next]);
      }
    }
  }
  add_takes(out.nodes, node_of);
  return out;
}

/// Which days a bond leaves to the child; `down`: the bond goes from the parent to it.
void PriceTreeMaker::leave(const Bond& bond, bool down, PriceNode& child,
                           const PriceNode& parent) const {
  for (std::int32_t x = 0; x < parent.count; ++x) {
    const Day day = parent.first + x;
    const Day least = down ? day + bond.least : day - bond.most;
    const Day most = down ? day + bond.most : day - bond.least;
    child.from.push_back(
        static_cast<std::int16_t>(std::clamp(least - child.first, 0, child.count)));
    child.to.push_back(
        static_cast<std::int16_t>(std::clamp(most - child.first, -1, child.count - 1)));
  }
  for (const Length* length : bond.lengths) {
    const bool from_parent = (groups_.place(length->from) == bond.from) == down;
    leave_by_length(*length, from_parent, child, parent);
  }
}

void PriceTreeMaker::leave_by_length(const Length& length, bool down, PriceNode& child,
                                     const PriceNode& parent) const {
  std::vector<Day> ends;  // of the days of the point from which it goes
  const PriceNode& source = down ? parent : child;
  for (std::int32_t i = 0; i < source.count; ++i) {
    ends.push_back(length.length->end_of(source.first + i).value_or(calendar::last_day * 4));
  }
  for (std::int32_t x = 0; x < parent.count; ++x) {
    const auto at = static_cast<std::size_t>(x);
    std::int32_t least = 0, most = child.count - 1;
    if (down) {
      most = static_cast<std::int32_t>(std::min<Day>(ends[at] - child.first, child.count - 1));
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
    least = std::min(least, child.count);
    child.from[at] = std::max(child.from[at], static_cast<std::int16_t>(least));
    child.to[at] = std::min(child.to[at], static_cast<std::int16_t>(std::max(most, -1)));
  }
}

void PriceTreeMaker::add_takes(std::vector<PriceNode>& nodes,
                               const std::vector<std::int32_t>& node_of) const {
  const auto node = [&](PointId point) -> PriceNode& {
    return nodes[static_cast<std::size_t>(node_of[groups_.place(point)])];
  };
  for (const std::uint32_t id : groups_.uses(group_)) {
    const Use& use = problem_.uses[id];
    if (use.amount <= 0 || is_given(use)) continue;
    PriceTake take;
    take.resource = use.resource;
    take.amount = static_cast<double>(use.amount);
    take.from = use.from.offset;
    take.to = use.to.offset;
    if (use.from.point == use.to.point) {
      if (take.to <= take.from) continue;
      take.slack = use.slack;
      take.starts = use.starts;
      take.optional = use.optional;
      node(use.from.point).takes.push_back(take);
      continue;
    }
    take.side = PriceTake::Side::begin;
    node(use.from.point).takes.push_back(take);
    take.side = PriceTake::Side::end;
    node(use.to.point).takes.push_back(take);
  }
  for (const std::uint32_t id : groups_.terms(group_)) {
    const Groups::LevelTerm& one = groups_.term(id);
    PriceNode& of = node(one.term.point);
    (one.level == 0 ? of.terms : of.others).push_back(one.term);
  }
}

}  // namespace budwood::levelling
