#include "network/reduce.hpp"

#include <algorithm>
#include <vector>

#include "network/fact_set.hpp"

namespace budwood::network {
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

/// Whether the facts of a chain are bounds that visit each point once. Then they are one negative
/// cycle, through the calendar when they hold dates, and none can be left out.
bool is_simple_cycle(const Network& network, const std::vector<Fact>& facts) {
  if (!std::all_of(facts.begin(), facts.end(), is_bound)) return false;
  std::vector<PointId> ends;
  for (const Fact& fact : facts) {
    ends.push_back(is_of_link(fact) ? network.link(fact.id).from : fact.id);
    if (is_of_link(fact)) ends.push_back(network.link(fact.id).to);
  }
  std::sort(ends.begin(), ends.end());
  for (std::size_t i = 2; i < ends.size(); ++i) {
    if (ends[i] == ends[i - 2]) return false;
  }
  return true;
}

/// Hides one fact after the other for as long as the rest contradicts itself; what stays is needed.
std::vector<Fact> needed_facts(const Network& network, const std::vector<Fact>& facts, Side side) {
  FactSet set(network, facts);
  std::vector<char> kept(facts.size(), 1);
  for (std::size_t i = 0; i < facts.size(); ++i) {
    if (!kept[i]) continue;
    set.hide(i);
    if (!set.contradicts(side)) {
      set.show(i);
      continue;
    }
    const std::vector<Fact> chain = set.chain();
    for (std::size_t j = 0; j < facts.size(); ++j) {
      const auto same = [&](const Fact& fact) { return same_fact(fact, facts[j]); };
      if (!kept[j] || (j != i && std::any_of(chain.begin(), chain.end(), same))) continue;
      set.hide(j);
      kept[j] = 0;
    }
  }
  std::vector<Fact> needed;
  for (std::size_t i = 0; i < facts.size(); ++i) {
    if (kept[i]) needed.push_back(facts[i]);
  }
  return needed;
}

/// The least that one of the bounds would have to give way, found by trying; 0 when none helps.
Day least_loosening(FactSet& set, const std::vector<Fact>& facts, Side side) {
  Day least = 0;
  for (std::size_t i = 0; i < facts.size(); ++i) {
    if (!is_bound(facts[i])) continue;
    const Day most = least > 0 ? least - 1 : calendar::last_day;
    const auto days = fewest_days(most, [&](Day by) {
      set.loosen(i, by);
      return !set.contradicts(side);
    });
    set.show(i);
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
  facts = needed_facts(network, facts, side);
  FactSet set(network, facts);
  const bool pure = std::all_of(facts.begin(), facts.end(), is_bound);
  conflict.misses = pure ? weight_below_zero(network, facts) : least_loosening(set, facts, side);
  // Once more from the start, for the order of the pushes and the days that were wanted. Where no
  // date is left, the days that were wanted at first say more than those at the calendar's end.
  const bool dated = std::any_of(facts.begin(), facts.end(), [](const Fact& fact) {
    return fact.kind == Fact::Kind::not_before || fact.kind == Fact::Kind::not_after;
  });
  if (dated && set.contradicts(side)) facts = set.chain();
}

}  // namespace budwood::network
