#include "plan/needs/crew_load.hpp"

#include <algorithm>

#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

/// The batches of some labour, each once, as in the plan.
std::vector<std::uint32_t> batches_of(const Plan& plan, const std::vector<Labour>& labour,
                                      std::size_t first, std::size_t end) {
  std::vector<std::uint32_t> batches;
  for (std::size_t i = first; i < end; ++i) {
    batches.push_back(plan.orders[labour[i].order].batch);
  }
  std::sort(batches.begin(), batches.end());
  batches.erase(std::unique(batches.begin(), batches.end()), batches.end());
  return batches;
}

}  // namespace

std::optional<double> crew_time(const Plan& plan, const CrewNeed& need, calendar::Day day) {
  if (need.facts == nullptr) return std::nullopt;
  return need.facts->person_seconds(day, plan.book->site.working);
}

std::vector<CrewOverload> overloads_of(const Plan& plan, const std::vector<Labour>& labour,
                                       const book::Crew* facts) {
  std::vector<CrewOverload> out;
  if (facts == nullptr) return out;
  std::size_t first = 0;
  while (first < labour.size()) {
    const calendar::Day day = labour[first].day;
    double wanted = 0;
    std::size_t end = first;
    for (; end < labour.size() && labour[end].day == day; ++end) {
      wanted += labour[end].seconds;
    }
    const double there = facts->person_seconds(day, plan.book->site.working);
    // Nobody can help a day that is over.
    const bool over = plan.book->today && day < *plan.book->today;
    if (!over && wanted > there + sheet::slack(wanted, there)) {
      out.push_back({day, wanted, there, batches_of(plan, labour, first, end)});
    }
    first = end;
  }
  return out;
}

void add_up(const Plan& plan, CrewNeed& need) {
  for (const Labour& labour : need.labour) need.seconds += labour.seconds;
  need.overloads = overloads_of(plan, need.labour, need.facts);
}

}  // namespace budwood::plan
