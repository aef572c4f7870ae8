#include "network/fact_set.hpp"

#include <algorithm>

namespace budwood::network {

FactSet::FactSet(const Network& whole, const std::vector<Fact>& facts)
    : whole_(&whole), facts_(facts) {
  for (const Fact& fact : facts_) {
    const bool of_link = fact.kind == Fact::Kind::link_low || fact.kind == Fact::Kind::link_high ||
                         fact.kind == Fact::Kind::length;
    if (of_link) {
      const Network::Link& link = whole.link(fact.id);
      const PointId from = local(link.from);
      const PointId to = local(link.to);
      const auto low = fact.kind == Fact::Kind::link_low ? link.low : std::nullopt;
      const auto high = fact.kind == Fact::Kind::link_high ? link.high : std::nullopt;
      place_.push_back(fact.kind == Fact::Kind::length ? network_.add_length(from, to, link.length)
                                                       : network_.add_link(from, to, low, high));
      links_.push_back(fact.id);
      continue;
    }
    const Network::Point& point = whole.point(fact.id);
    const PointId own = local(fact.id);
    place_.push_back(own);
    if (fact.kind == Fact::Kind::allowed) network_.set_allowed(own, point.allowed);
    if (fact.kind == Fact::Kind::not_before) network_.set_not_before(own, point.not_before);
    if (fact.kind == Fact::Kind::not_after) network_.set_not_after(own, point.not_after);
  }
}

PointId FactSet::local(PointId point) {
  const auto [place, added] = local_.try_emplace(point, static_cast<PointId>(points_.size()));
  if (!added) return place->second;
  points_.push_back(point);
  return network_.add_point();
}

bool FactSet::contradicts(Side side) {
  return propagation_.run(network_, side) == Propagation::Outcome::contradiction;
}

std::vector<Fact> FactSet::chain() {
  std::vector<Fact> facts = propagation_.failing_facts();
  for (Fact& fact : facts) {
    const bool of_point = fact.kind == Fact::Kind::allowed || fact.kind == Fact::Kind::not_before ||
                          fact.kind == Fact::Kind::not_after;
    fact.id = of_point ? points_[fact.id] : links_[fact.id];
  }
  return facts;
}

void FactSet::loosen(std::size_t index, Day days) {
  network::loosen(network_, {facts_[index].kind, place_[index], 0}, days);
}

bool is_bound(const Fact& fact) {
  return fact.kind != Fact::Kind::length && fact.kind != Fact::Kind::allowed;
}

void loosen(Network& network, const Fact& fact, Day days) {
  switch (fact.kind) {
    case Fact::Kind::link_low: {
      const Network::Link link = network.link(fact.id);
      return network.set_link(fact.id, *link.low - days, link.high);
    }
    case Fact::Kind::link_high: {
      const Network::Link link = network.link(fact.id);
      return network.set_link(fact.id, link.low, *link.high + days);
    }
    case Fact::Kind::not_before:
      return network.set_not_before(fact.id, *network.point(fact.id).not_before - days);
    case Fact::Kind::not_after:
      return network.set_not_after(fact.id, *network.point(fact.id).not_after + days);
    case Fact::Kind::length:
    case Fact::Kind::allowed:
      return;
  }
}

namespace {

/// Facts of which none can be left out are, without sets and lengths, one negative cycle through
/// each of them, and its weight is what they miss by (Dechter, Meiri & Pearl 1991, theorem 3.1).
Day weight_below_zero(const Network& network, const std::vector<Fact>& facts) {
  std::int64_t weight = 0;
  for (const Fact& fact : facts) {
    switch (fact.kind) {
      case Fact::Kind::link_low:
        weight -= *network.link(fact.id).low;
        break;
      case Fact::Kind::link_high:
        weight += *network.link(fact.id).high;
        break;
      case Fact::Kind::not_before:
        weight -= *network.point(fact.id).not_before;
        break;
      case Fact::Kind::not_after:
        weight += *network.point(fact.id).not_after;
        break;
      case Fact::Kind::length:
      case Fact::Kind::allowed:
        break;
    }
  }
  return static_cast<Day>(-weight);
}

/// Whether the facts of a chain visit each point once. Then they are one negative cycle, through
/// the calendar when they hold dates, and none can be left out.
bool is_simple_cycle(const Network& network, const std::vector<Fact>& facts) {
  if (!std::all_of(facts.begin(), facts.end(), is_bound)) return false;
  std::vector<PointId> ends;
  for (const Fact& fact : facts) {
    const bool of_link = fact.kind == Fact::Kind::link_low || fact.kind == Fact::Kind::link_high;
    ends.push_back(of_link ? network.link(fact.id).from : fact.id);
    if (of_link) ends.push_back(network.link(fact.id).to);
  }
  std::sort(ends.begin(), ends.end());
  for (std::size_t i = 2; i < ends.size(); ++i) {
    if (ends[i] == ends[i - 2]) return false;
  }
  return true;
}

/// The least that one of the bounds would have to give way, found by trying; 0 when none helps.
Day least_loosening(const Network& network, const std::vector<Fact>& facts) {
  Day least = 0;
  for (std::size_t i = 0; i < facts.size(); ++i) {
    if (!is_bound(facts[i])) continue;
    const Day most = least > 0 ? least - 1 : calendar::last_day;
    const auto days = fewest_days(most, [&](Day by) {
      FactSet loosened(network, facts);
      loosened.loosen(i, by);
      return !loosened.contradicts();
    });
    if (days) least = *days;
  }
  return least;
}

}  // namespace

void reduce(const Network& network, Conflict& conflict, Side side) {
  std::vector<Fact>& facts = conflict.facts;
  if (is_simple_cycle(network, facts)) {
    conflict.misses = weight_below_zero(network, facts);
    return;
  }
  for (std::size_t i = 0; i < facts.size();) {
    std::vector<Fact> rest = facts;
    rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(i));
    if (FactSet(network, rest).contradicts()) {
      facts = std::move(rest);
    } else {
      ++i;
    }
  }
  // Once more from the start, for the order of the pushes and the days that were wanted. Where no
  // date is left, the days that were wanted at first say more than those at the calendar's end.
  const bool dated = std::any_of(facts.begin(), facts.end(), [](const Fact& fact) {
    return fact.kind == Fact::Kind::not_before || fact.kind == Fact::Kind::not_after;
  });
  FactSet reduced(network, facts);
  if (dated && reduced.contradicts(side)) facts = reduced.chain();
  const bool pure = std::all_of(facts.begin(), facts.end(), is_bound);
  conflict.misses = pure ? weight_below_zero(network, facts) : least_loosening(network, facts);
}

}  // namespace budwood::network
