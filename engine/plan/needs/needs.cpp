#include "plan/needs/needs.hpp"

#include <map>
#include <numeric>

#include "plan/needs/crew_load.hpp"
#include "plan/needs/needs_counter.hpp"
#include "plan/needs/purchases.hpp"
#include "plan/needs/stock.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;

/// The most that is out at once, when that is, and who has it.
void find_peak(const Plan& plan, SupplyNeed& need, const std::vector<double>& held) {
  const std::size_t at = first_peak(held);
  if (at == held.size()) return;
  need.amount = held[at];
  need.peak_day = need.takings[at].day;
  std::map<std::uint32_t, double> shares;
  for (const Taking& taking : need.takings) {
    const double out = held_on(taking, need.peak_day);
    if (out > 0) shares[plan.orders[taking.order].batch] += out;
  }
  for (const auto& [batch, amount] : shares) need.peak.push_back({batch, amount});
}

void add_up(const Plan& plan, SupplyNeed& need, std::optional<Day> today) {
  const std::vector<double> held = held_after(need.takings, need.reused);
  for (const Taking& taking : need.takings) need.spoilt += taking.spoilt;
  if (need.reused) {
    find_peak(plan, need, held);
  } else if (!held.empty()) {
    need.amount = held.back();
  }
  if (need.pack > 0) need.packs = sheet::round_up(need.amount / need.pack);
  need.purchase = purchase_of(plan, need, held, today);
}

}  // namespace

Needs total_needs(const Plan& plan, std::optional<Day> today) {
  std::vector<std::uint32_t> all(plan.orders.size());
  std::iota(all.begin(), all.end(), 0U);
  Needs needs = NeedsCounter(plan).count(all);
  for (SupplyNeed& need : needs.supplies) add_up(plan, need, today);
  for (CrewNeed& need : needs.crews) add_up(plan, need);
  return needs;
}

}  // namespace budwood::plan
