#include "plan/needs/purchases.hpp"

#include <algorithm>
#include <set>

#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;

/// The days of lead time before a day; not before the calendar begins.
Day minus(Day day, int lead_days) {
  return std::max(calendar::first_day, day - lead_days);
}

/// The first taking that stock on hand does not cover; the size of `held` when it covers all.
std::size_t first_missing(const std::vector<double>& held, double on_hand) {
  std::size_t at = 0;
  while (at < held.size() && held[at] <= on_hand + sheet::slack(held[at], on_hand)) ++at;
  return at;
}

/// Each batch that misses some before a day, and when it does first.
std::vector<Shortage> shortages_before(Day day, const Plan& plan, const SupplyNeed& need,
                                       const std::vector<double>& held) {
  std::vector<Shortage> shortages;
  std::set<std::uint32_t> named;
  for (std::size_t i = 0; i < held.size() && need.takings[i].day < day; ++i) {
    const double on_hand = need.terms.on_hand;
    if (held[i] <= on_hand + sheet::slack(held[i], on_hand)) continue;
    const std::uint32_t batch = plan.orders[need.takings[i].order].batch;
    if (named.insert(batch).second) shortages.push_back({batch, need.takings[i].day});
  }
  return shortages;
}

void set_amount(const SupplyNeed& need, double missing, Purchase& purchase) {
  if (need.pack > 0) {
    purchase.packs = sheet::round_up(missing / need.pack);
    purchase.amount = purchase.packs * need.pack;
  } else {
    const bool counted = need.unit.dimension == units::count;
    purchase.amount = counted ? sheet::round_up(missing) : missing;
  }
  if (need.terms.price) purchase.cost = purchase.amount * *need.terms.price;
}

/// When it has to be ordered, and when it comes if that is over.
void set_dates(const Plan& plan, const SupplyNeed& need, std::optional<Day> today,
               Purchase& purchase) {
  const calendar::DaySet& working = plan.book->site.working.days();
  if (!need.terms.lead_days) return;
  const int lead = *need.terms.lead_days;
  purchase.order_by = working.previous(minus(purchase.first.day, lead));
  purchase.late = today && purchase.order_by && *purchase.order_by < *today;
  if (!purchase.late) return;
  if (const auto now = working.next(*today); now && *now <= calendar::last_day - lead) {
    purchase.comes = *now + lead;
  }
}

void warn(const Plan& plan, const SupplyNeed& need, Day today, text::Diagnostics& diagnostics) {
  const Purchase& purchase = *need.purchase;
  text::Diagnostic d;
  d.severity = text::Severity::warning;
  d.code = "late-order";
  d.span = need.terms.span;
  d.message = "`" + need.supply + "` had to be ordered by " +
              calendar::short_date(*purchase.order_by) + ", before " + calendar::short_date(today) +
              ".";
  if (purchase.comes) {
    d.advice = "Ordered now it comes on " + calendar::short_date(*purchase.comes) +
               "; find some elsewhere, or move what goes short until then.";
  }
  for (const Shortage& shortage : purchase.shortages) {
    const book::Batch& batch = plan.facts_of(plan.batches[shortage.batch]);
    d.related.push_back({batch.span, "Batch `" + batch.id.value + "` goes short on " +
                                         calendar::short_date(shortage.day) + "."});
  }
  diagnostics.add(std::move(d));
}

}  // namespace

std::optional<Purchase> purchase_of(const Plan& plan, const SupplyNeed& need,
                                    const std::vector<double>& held, std::optional<Day> today) {
  const std::size_t at = first_missing(held, need.terms.on_hand);
  if (at == held.size()) return std::nullopt;
  Purchase purchase;
  purchase.first = {plan.orders[need.takings[at].order].batch, need.takings[at].day};
  set_amount(need, need.amount - need.terms.on_hand, purchase);
  set_dates(plan, need, today, purchase);
  if (purchase.late) {
    const Day comes = purchase.comes.value_or(calendar::last_day + 1);
    purchase.shortages = shortages_before(comes, plan, need, held);
  }
  return purchase;
}

std::optional<Purchase> purchase_of(const Plan& plan, const SupplyNeed& need,
                                    const std::vector<Missing>& missing, std::optional<Day> today) {
  if (missing.empty()) return std::nullopt;
  Purchase purchase;
  purchase.first = {missing.front().batch, missing.front().day};
  double amount = 0;
  for (const Missing& one : missing) amount += one.amount;
  set_amount(need, amount, purchase);
  set_dates(plan, need, today, purchase);
  std::set<std::uint32_t> named;
  for (const Missing& one : missing) {
    const bool comes_later = purchase.late && (!purchase.comes || one.day < *purchase.comes);
    if (comes_later && named.insert(one.batch).second) {
      purchase.shortages.push_back({one.batch, one.day});
    }
  }
  return purchase;
}

void report_late(const Plan& plan, const Needs& needs, Day today, text::Diagnostics& diagnostics) {
  for (const SupplyNeed& need : needs.supplies) {
    if (need.purchase && need.purchase->late) warn(plan, need, today, diagnostics);
  }
}

}  // namespace budwood::plan
