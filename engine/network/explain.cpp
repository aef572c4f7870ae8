#include "network/explain.hpp"

#include <algorithm>
#include <cstdlib>
#include <tuple>

#include "network/fact_set.hpp"
#include "network/layers.hpp"
#include "network/propagation.hpp"
#include "network/reduce.hpp"

namespace budwood::network {
namespace {

/// Pushes to try before the search for the shortest negative cycle is given up.
constexpr std::uint64_t most_work = 300'000'000;

bool feasible(Propagation& propagation, const Network& network) {
  return propagation.run(network, Side::latest) != Propagation::Outcome::contradiction;
}

/// The links of a network without dates, sets and lengths.
Network links_of(const Network& network) {
  Network links;
  for (PointId point = 0; point < network.point_count(); ++point) links.add_point();
  for (LinkId id = 0; id < network.link_count(); ++id) {
    const Network::Link& link = network.link(id);
    links.add_link(link.from, link.to, link.low, link.high);
  }
  return links;
}

/// Keeps the better of two explanations.
void improve(const Network& network, Conflict& best, std::vector<Fact> facts) {
  if (facts.empty()) return;
  // A chain that starts with a set starts at the calendar's end; say the days met before instead.
  for (Fact& fact : facts) {
    const auto known = std::find_if(best.facts.begin(), best.facts.end(),
                                    [&](const Fact& other) { return same_fact(fact, other); });
    if (known != best.facts.end()) fact.day = known->day;
  }
  Conflict other;
  other.facts = std::move(facts);
  reduce(network, other, Side::latest);
  const std::size_t size = other.facts.size();
  const bool shorter = size < best.facts.size();
  if (shorter || (size == best.facts.size() && other.misses > best.misses)) best = std::move(other);
}

}  // namespace

Conflict shortest_conflict(const Network& network) {
  Conflict best;
  Propagation propagation;
  if (feasible(propagation, network)) return best;
  best.facts = propagation.failing_facts();
  reduce(network, best, Side::latest);

  Layers layers(network);
  improve(network, best, layers.from_bounds(best.facts.size()));
  if (feasible(propagation, links_of(network))) return best;
  for (PointId point = 0; point < network.point_count() && layers.work() < most_work; ++point) {
    improve(network, best, layers.cycle_through(point, best.facts.size()));
  }
  return best;
}

namespace {

/// Tries single changes on a copy of the network.
class Workshop {
 public:
  Workshop(const Network& network, Day limit)
      : original_(network), changed_(network), limit_(limit) {}

  std::optional<Repair> repair(const Fact& fact) {
    if (is_bound(fact)) return loosened(fact);
    if (fact.kind == Fact::Kind::allowed) return allowed(fact);
    if (original_.link(fact.id).limit) return waiting(fact);
    return {};
  }

 private:
  std::optional<Repair> loosened(const Fact& fact) {
    const auto days = fewest_days(limit_, [&](Day by) {
      loosen(changed_, fact, by);
      const bool enough = feasible(propagation_, changed_);
      loosen(changed_, fact, -by);
      return enough;
    });
    if (!days) return {};
    loosen(changed_, fact, *days);
    const Repair repair{fact, *days, bound_of(fact)};
    loosen(changed_, fact, -*days);
    return repair;
  }

  Day bound_of(const Fact& fact) const {
    switch (fact.kind) {
      case Fact::Kind::link_low:
        return *changed_.link(fact.id).low;
      case Fact::Kind::link_high:
        return *changed_.link(fact.id).high;
      case Fact::Kind::not_before:
        return *changed_.point(fact.id).not_before;
      case Fact::Kind::not_after:
        return *changed_.point(fact.id).not_after;
      case Fact::Kind::length:
      case Fact::Kind::allowed:
        break;
    }
    return 0;
  }

  std::optional<Repair> allowed(const Fact& fact) {
    changed_.set_allowed(fact.id, nullptr);
    std::optional<Repair> repair;
    if (feasible(propagation_, changed_)) {
      for (const Day day : days_around(*original_.point(fact.id).allowed, fact.day)) {
        if (!works_on(fact.id, day)) continue;
        repair = {{fact.kind, fact.id, day}, std::abs(day - fact.day), day};
        break;
      }
    }
    changed_.set_allowed(fact.id, original_.point(fact.id).allowed);
    return repair;
  }

  /// The days within the limit around a day, in the order in which they are to be tried.
  std::vector<Day> days_around(const calendar::DaySet& allowed, Day wanted) const {
    const auto from_allowed = [&](Day day) {
      const auto before = allowed.previous(day);
      const auto after = allowed.next(day);
      return std::min(before ? day - *before : calendar::last_day,
                      after ? *after - day : calendar::last_day);
    };
    std::vector<std::tuple<Day, Day, Day>> ranked;
    for (Day day = wanted - limit_; day <= wanted + limit_; ++day) {
      ranked.emplace_back(from_allowed(day), std::abs(day - wanted), day);
    }
    std::sort(ranked.begin(), ranked.end());
    std::vector<Day> out;
    for (const auto& [gap, by, day] : ranked) out.push_back(day);
    return out;
  }

  std::optional<Repair> waiting(const Fact& fact) {
    const MonotoneLength* limit = original_.link(fact.id).length;
    changed_.set_length(fact.id, nullptr);
    const auto days = fewest_days(limit_, [&](Day most) {
      changed_.set_link(fact.id, std::nullopt, most);
      return feasible(propagation_, changed_);
    });
    changed_.set_link(fact.id, std::nullopt, std::nullopt);
    changed_.set_length(fact.id, limit);
    if (!days) return {};
    return Repair{fact, *days, *days};
  }

  /// Whether there is a plan with this date on this day.
  bool works_on(PointId point, Day day) {
    const Network::Point& bounds = original_.point(point);
    if (day < calendar::first_day || day > calendar::last_day) return false;
    if (bounds.not_before && day < *bounds.not_before) return false;
    if (bounds.not_after && day > *bounds.not_after) return false;
    changed_.set_not_before(point, day);
    changed_.set_not_after(point, day);
    const bool works = feasible(propagation_, changed_);
    changed_.set_not_before(point, bounds.not_before);
    changed_.set_not_after(point, bounds.not_after);
    return works;
  }

  const Network& original_;
  Network changed_;
  Day limit_;
  Propagation propagation_;
};

}  // namespace

std::vector<Repair> repairs(const Network& network, const Conflict& conflict, Day limit) {
  Workshop workshop(network, limit);
  std::vector<Repair> found;
  for (const Fact& fact : conflict.facts) {
    if (const auto repair = workshop.repair(fact)) found.push_back(*repair);
  }
  return found;
}

}  // namespace budwood::network
