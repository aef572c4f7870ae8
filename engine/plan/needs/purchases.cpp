#include "plan/needs/purchases.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "plan/needs/deliveries.hpp"
#include "plan/plan.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;

/// The days of lead time before a day; not before the calendar begins.
Day minus(Day day, int lead_days) {
  return std::max(calendar::first_day, day - lead_days);
}

/// What is needed by each day, for what is missing.
std::vector<NeededBy> needed_by(const std::vector<Missing>& missing) {
  std::vector<NeededBy> out;
  for (const Missing& one : missing) {
    if (!out.empty() && one.total <= out.back().total) continue;
    if (out.empty() || out.back().day != one.day) out.push_back({one.day, 0});
    out.back().total = one.total;
  }
  return out;
}

/// The day on which something comes that is ordered now.
std::optional<Day> earliest(const Plan& plan, const Offer& offer, std::optional<Day> today) {
  if (!today || !offer.lead_days) return std::nullopt;
  const auto now = plan.book->site.working.days().next(*today);
  return now ? *now + *offer.lead_days : calendar::last_day + 1;
}

/// When it has to be ordered, and when it comes if that is over.
void set_dates(const Plan& plan, const Offer& offer, std::optional<Day> today, Delivery& delivery) {
  if (!offer.lead_days) return;
  const calendar::DaySet& working = plan.book->site.working.days();
  delivery.order_by = working.previous(minus(delivery.first.day, *offer.lead_days));
  delivery.late = today && delivery.order_by && *delivery.order_by < *today;
  if (!delivery.late) return;
  const auto comes = earliest(plan, offer, today);
  if (comes && *comes <= calendar::last_day) delivery.comes = comes;
}

void set_amount(const Offer& offer, const Bought& bought, Delivery& delivery) {
  delivery.supplier = offer.supplier;
  delivery.amount = bought.amount;
  delivery.pack = offer.pack;
  if (offer.pack > 0) delivery.packs = std::round(bought.amount / offer.pack);
  if (offer.price) delivery.cost = delivery_cost(offer, bought.amount);
  delivery.over = bought.over;
  delivery.spoils = bought.spoils;
  delivery.least = bought.least;
  if (offer.price) delivery.least_cost = delivery_cost(offer, bought.least);
}

/// What misses some that a delivery brings, each batch once.
void set_shortages(const std::vector<Missing>& missing, const Bought& bought, Delivery& delivery) {
  const Day comes = delivery.comes.value_or(calendar::last_day + 1);
  std::set<std::uint32_t> named;
  for (const Missing& one : missing) {
    const bool its = one.total > bought.before + units::slack(one.total, bought.before) &&
                     one.day <= delivery.last && one.day < comes;
    if (its && named.insert(one.batch).second) delivery.shortages.push_back({one.batch, one.day});
  }
}

Delivery delivery_of(const Plan& plan, const BuyingProblem& problem, const Bought& bought,
                     const std::vector<Missing>& missing, std::optional<Day> today) {
  const Offer& offer = problem.offers[bought.offer];
  Delivery out;
  set_amount(offer, bought, out);
  const Day day = problem.uses[bought.first].day;
  for (const Missing& one : missing) {
    if (one.day != day || one.total <= bought.before) continue;
    out.first = {one.batch, one.day};
    break;
  }
  out.last = problem.uses[bought.last].day;
  set_dates(plan, offer, today, out);
  if (out.late) set_shortages(missing, bought, out);
  return out;
}

/// Totals over all deliveries.
void sum_up(Purchase& purchase) {
  const Delivery& front = purchase.deliveries.front();
  purchase.first = front.first;
  purchase.cost = 0;
  bool same_packs = true;
  std::set<std::uint32_t> named;
  for (const Delivery& one : purchase.deliveries) {
    purchase.amount += one.amount;
    purchase.packs += one.packs;
    same_packs = same_packs && one.pack == front.pack;
    if (purchase.cost && one.cost) {
      *purchase.cost += *one.cost;
    } else {
      purchase.cost.reset();
    }
    if (one.order_by) {
      purchase.order_by = std::min(purchase.order_by.value_or(*one.order_by), *one.order_by);
    }
    if (one.late && !purchase.late) purchase.comes = one.comes;
    purchase.late = purchase.late || one.late;
    for (const Shortage& shortage : one.shortages) {
      if (named.insert(shortage.batch).second) purchase.shortages.push_back(shortage);
    }
  }
  if (!same_packs) purchase.packs = 0;
}

void warn(const Plan& plan, const SupplyNeed& need, const Delivery& delivery, Day today,
          text::Diagnostics& diagnostics) {
  text::Diagnostic d;
  d.severity = text::Severity::warning;
  d.code = "late-order";
  d.span = need.terms.span;
  d.message = "`" + need.supply + "` had to be ordered by " +
              calendar::short_date(*delivery.order_by) + ", before " + calendar::short_date(today) +
              ".";
  if (delivery.comes) {
    d.advice = "Ordered now it comes on " + calendar::short_date(*delivery.comes) +
               "; find some elsewhere, or move what goes short until then.";
  }
  for (const Shortage& shortage : delivery.shortages) {
    const book::Batch& batch = plan.facts_of(plan.batches[shortage.batch]);
    d.related.push_back({batch.span, "Batch `" + batch.id.value + "` goes short on " +
                                         calendar::short_date(shortage.day) + "."});
  }
  diagnostics.add(std::move(d));
}

/// Takes an amount of what is on hand on a day, first of what expires first; gives what is missing.
double take(std::vector<OnHand>& parts, double amount, Day day) {
  for (OnHand& part : parts) {
    if (part.use_by && *part.use_by < day) continue;
    const double taken = std::min(part.amount, amount);
    part.amount -= taken;
    amount -= taken;
  }
  return amount;
}

/// Where some of what is on hand expires.
std::vector<Missing> missing_in_time(const Plan& plan, const SupplyNeed& need,
                                     std::vector<OnHand>& expires) {
  std::vector<OnHand> parts = need.terms.parts;
  std::vector<Missing> out;
  double total = 0;
  for (const Taking& taking : need.takings) {
    const double missing = take(parts, taking.amount, taking.day);
    if (missing <= units::slack(missing, need.amount)) continue;
    total += missing;
    out.push_back({plan.orders[taking.order].batch, taking.day, total});
  }
  for (const OnHand& part : parts) {
    const bool any = part.amount > units::slack(part.amount, need.terms.on_hand);
    if (any && part.use_by) expires.push_back(part);
  }
  return out;
}

}  // namespace

std::vector<Missing> missing_of(const Plan& plan, const SupplyNeed& need,
                                const std::vector<double>& held, std::vector<OnHand>& expires) {
  if (!need.terms.parts.empty()) return missing_in_time(plan, need, expires);
  const double on_hand = need.terms.on_hand;
  std::vector<Missing> out;
  double most = 0;
  for (std::size_t i = 0; i < held.size(); ++i) {
    most = std::max(most, held[i]);
    if (held[i] <= on_hand + units::slack(held[i], on_hand)) continue;
    out.push_back({plan.orders[need.takings[i].order].batch, need.takings[i].day, most - on_hand});
  }
  return out;
}

std::optional<Purchase> purchase_of(const Plan& plan, const SupplyNeed& need,
                                    const std::vector<Missing>& missing, std::optional<Day> today) {
  if (missing.empty()) return std::nullopt;
  BuyingProblem problem;
  problem.uses = needed_by(missing);
  problem.offers = need.terms.offers;
  for (const Offer& one : problem.offers) problem.earliest.push_back(earliest(plan, one, today));
  problem.keeps = need.terms.keeps;
  problem.storage = need.terms.storage;
  problem.counted = need.unit.dimension == units::count;
  Purchase purchase;
  for (const Bought& one : cheapest_deliveries(problem)) {
    purchase.deliveries.push_back(delivery_of(plan, problem, one, missing, today));
  }
  if (purchase.deliveries.empty()) return std::nullopt;
  sum_up(purchase);
  return purchase;
}

void report_late(const Plan& plan, const Needs& needs, Day today, text::Diagnostics& diagnostics) {
  for (const SupplyNeed& need : needs.supplies) {
    if (!need.purchase) continue;
    for (const Delivery& one : need.purchase->deliveries) {
      if (one.late) warn(plan, need, one, today, diagnostics);
    }
  }
}

}  // namespace budwood::plan
