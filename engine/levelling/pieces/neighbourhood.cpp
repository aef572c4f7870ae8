#include "levelling/pieces/neighbourhood.hpp"

#include <algorithm>

namespace budwood::levelling {

Neighbourhood::Neighbourhood(const Problem& problem, const Links& links, std::uint64_t seed)
    : problem_(problem), links_(links), random_(seed), takes_(links.unit_count()) {
  for (const Use& use : problem.uses) {
    const std::uint64_t bit = std::uint64_t{1} << (use.resource % 64);
    takes_[links.unit_of(use.from.point)] |= bit;
    takes_[links.unit_of(use.to.point)] |= bit;
  }
}

/// Every other time one that costs something, in the first objective that can still fall.
Links::UnitId Neighbourhood::first_unit(const Schedule& schedule) {
  std::vector<PointId> costing;
  const std::size_t count = problem_.objectives.size();
  const std::size_t objective = count > 1 ? below(count) : 0;
  if (count > 0 && random_() % 2 == 0) {
    for (const Term& term : problem_.objectives[objective]) {
      if (term.at(schedule.days[term.point]) > 0) costing.push_back(term.point);
    }
    for (std::size_t u = 0; objective + 1 == count && u < problem_.uses.size(); ++u) {
      const Use& use = problem_.uses[u];
      if (use.cost(schedule.slips[u]) > 0) costing.push_back(use.from.point);
    }
  }
  if (!costing.empty()) return links_.unit_of(costing[below(costing.size())]);
  return static_cast<Links::UnitId>(below(links_.unit_count()));
}

/// The other units by how far they lie from the first one in time, blurred by chance; those that
/// take none of its resources come last.
std::vector<Neighbourhood::Near> Neighbourhood::by_distance(const Schedule& schedule,
                                                            Links::UnitId first) {
  const auto middle = [&](Links::UnitId unit) {
    Day low = INT32_MAX, high = INT32_MIN;
    for (const PointId point : links_.unit(unit)) {
      low = std::min(low, schedule.days[point]);
      high = std::max(high, schedule.days[point]);
    }
    return static_cast<std::int64_t>(low) + high;
  };
  const std::int64_t here = middle(first);
  const std::uint64_t blur = 4 + random_() % 60;
  std::vector<Near> order;
  for (Links::UnitId unit = 0; unit < links_.unit_count(); ++unit) {
    if (unit == first) continue;
    std::int64_t distance = std::abs(middle(unit) - here);
    distance += static_cast<std::int64_t>(random_() % blur);
    if ((takes_[unit] & takes_[first]) == 0) distance += 1 << 20;
    order.push_back({distance, unit});
  }
  std::sort(order.begin(), order.end(), [](const Near& a, const Near& b) {
    return a.distance != b.distance ? a.distance < b.distance : a.unit < b.unit;
  });
  return order;
}

std::vector<PointId> Neighbourhood::choose(const Schedule& schedule, std::size_t points) {
  const Links::UnitId first = first_unit(schedule);
  std::vector<PointId> freed = links_.unit(first);
  for (const Near& near : by_distance(schedule, first)) {
    const std::vector<PointId>& unit = links_.unit(near.unit);
    if (freed.size() + unit.size() > points) break;
    freed.insert(freed.end(), unit.begin(), unit.end());
  }
  std::sort(freed.begin(), freed.end());
  return freed;
}

}  // namespace budwood::levelling
