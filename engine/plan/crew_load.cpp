#include "plan/crew_load.hpp"

#include <algorithm>

#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

/// The batches of some labour, each once, as in the plan.
std::vector<std::uint32_t> batches_of(const Plan& plan, const CrewNeed& need, std::size_t first,
                                      std::size_t end) {
  std::vector<std::uint32_t> batches;
  for (std::size_t i = first; i < end; ++i) {
    batches.push_back(plan.orders[need.labour[i].order].batch);
  }
  std::sort(batches.begin(), batches.end());
  batches.erase(std::unique(batches.begin(), batches.end()), batches.end());
  return batches;
}

}  // namespace

std::optional<double> crew_time(const Plan& plan, const CrewNeed& need, calendar::Day day) {
  if (!need.a_day) return std::nullopt;
  return plan.book->site.working.works(day) ? *need.a_day : 0;
}

void add_up(const Plan& plan, CrewNeed& need) {
  std::size_t first = 0;
  while (first < need.labour.size()) {
    const calendar::Day day = plan.orders[need.labour[first].order].date;
    double wanted = 0;
    std::size_t end = first;
    for (; end < need.labour.size() && plan.orders[need.labour[end].order].date == day; ++end) {
      wanted += need.labour[end].seconds;
    }
    need.seconds += wanted;
    const std::optional<double> there = crew_time(plan, need, day);
    if (there && wanted > *there + sheet::slack(wanted, *there)) {
      need.overloads.push_back({day, wanted, *there, batches_of(plan, need, first, end)});
    }
    first = end;
  }
}

}  // namespace budwood::plan
