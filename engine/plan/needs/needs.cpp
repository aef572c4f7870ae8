#include "plan/needs/needs.hpp"

#include <algorithm>
#include <map>
#include <tuple>

#include "plan/making/makings.hpp"
#include "plan/needs/crew_load.hpp"
#include "plan/needs/needs_counter.hpp"
#include "plan/needs/purchases.hpp"
#include "plan/needs/recorded_stock.hpp"
#include "plan/needs/stock.hpp"
#include "plan/orders/order.hpp"
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

/// What lots and mother plants of a supply do not give; nothing when it has none.
std::optional<std::vector<Missing>> missing_in_lots(const Plan& plan, const std::string& supply) {
  const book::Site& site = plan.book->site;
  const auto is_of = [&](const auto& one) { return one.second.of.value == supply; };
  const bool any = std::any_of(site.lots.begin(), site.lots.end(), is_of) ||
                   std::any_of(site.mothers.begin(), site.mothers.end(), is_of);
  if (!any) return std::nullopt;
  std::vector<Missing> out;
  for (const std::size_t i : takings_that_miss(plan)) {
    const LotTaking& one = plan.lots[i];
    if (plan.protocol_of(plan.batches[one.batch]).supplies[one.supply].name != supply) continue;
    out.push_back({one.batch, one.day, one.shares.back().amount});
  }
  for (const MotherTaking& one : plan.mothers.takings) {
    const bool missing = one.mothers.empty() && !one.done && one.supply == supply;
    if (missing) out.push_back({one.batch, one.day, one.amount});
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const auto& one, const auto& other) { return one.day < other.day; });
  double total = 0;
  for (Missing& one : out) one.total = total += one.total;
  return out;
}

/// What is in the lots of a supply that have not expired, less what was taken; nothing when it has
/// no lots.
std::optional<double> in_lots(const Plan& plan, const std::vector<LotBalance>& lots,
                              const std::string& supply) {
  std::optional<double> out;
  for (const LotBalance& one : lots) {
    if (one.supply->name != supply) continue;
    const auto& use_by = one.facts->use_by;
    const bool expired = use_by && plan.book->today && use_by->value < *plan.book->today;
    out = out.value_or(0) + (expired ? 0 : std::max(0.0, one.count - one.done));
  }
  return out;
}

void add_up(const Plan& plan, SupplyNeed& need, std::optional<Day> today) {
  const std::vector<double> held = held_after(need.takings, need.reused);
  for (const Taking& taking : need.takings) need.spoilt += taking.spoilt;
  if (need.reused) {
    find_peak(plan, need, held);
  } else if (!held.empty()) {
    need.amount = held.back();
  }
  if (need.made) return;
  if (need.pack > 0) need.packs = sheet::round_up(need.amount / need.pack);
  const auto in_lots = missing_in_lots(plan, need.supply);
  need.purchase = purchase_of(
      plan, need, in_lots ? *in_lots : missing_of(plan, need, held, need.expires), today);
}

/// Adds what work that is done has borrowed.
void add_lent(const Plan& plan, const Needs& done, Needs& needs) {
  const auto by_order = [&](const Taking& one, const Taking& other) {
    return std::tie(one.day, one.order, one.use) < std::tie(other.day, other.order, other.use);
  };
  for (const SupplyNeed& borrowed : done.supplies) {
    if (!borrowed.reused) continue;
    SupplyNeed lent = borrowed;
    if (plan.book->today) {
      std::erase_if(lent.takings, [&](const Taking& one) { return one.back <= *plan.book->today; });
    }
    if (lent.takings.empty()) continue;
    const auto found = std::find_if(needs.supplies.begin(), needs.supplies.end(),
                                    [&](const auto& one) { return one.supply == lent.supply; });
    if (found == needs.supplies.end()) {
      needs.supplies.push_back(std::move(lent));
      continue;
    }
    found->takings.insert(found->takings.end(), lent.takings.begin(), lent.takings.end());
    std::sort(found->takings.begin(), found->takings.end(), by_order);
  }
  std::sort(needs.supplies.begin(), needs.supplies.end(),
            [](const auto& one, const auto& other) { return one.supply < other.supply; });
}

/// What orders that are done have used beyond what was on hand was made for them, and what came in
/// of what is made here was made too: of supplies that were there.
void take_for_made(const Plan& plan, const RecordedStock& stock, Needs& done) {
  for (const BookRecipe& of : plan.recipes) {
    const SupplyNeed* made = find_supply(done, of.supply().name);
    if (made == nullptr) continue;
    for (const auto& [day, amount] : stock.made_of(*made, made->takings)) {
      for (std::size_t part = 0; part < of.recipe->of.size(); ++part) {
        SupplyNeed* need = find_supply(done, of.part(part).name);
        Taking taking;
        taking.making = Taking::made_before;
        taking.day = day;
        taking.amount = of.recipe->of[part].amount * amount / of.recipe->makes;
        need->takings.push_back(taking);
      }
    }
  }
}

}  // namespace

SupplyNeed* find_supply(Needs& needs, const std::string& supply) {
  const auto found = std::find_if(needs.supplies.begin(), needs.supplies.end(),
                                  [&](const SupplyNeed& one) { return one.supply == supply; });
  return found == needs.supplies.end() ? nullptr : &*found;
}

Needs needs_ahead(const Plan& plan) {
  // What was borrowed for work that is done is still out.
  std::vector<std::uint32_t> ahead, settled;
  for (std::uint32_t i = 0; i < plan.orders.size(); ++i) {
    const WorkOrder& order = plan.orders[i];
    if (order.state == OrderState::left_out || is_missed(plan, order)) continue;
    (order.done() ? settled : ahead).push_back(i);
  }
  const NeedsCounter counter(plan);
  Needs needs = counter.count(ahead);
  Needs done = counter.count(settled);
  add_lent(plan, done, needs);
  const RecordedStock stock(plan);
  if (!plan.recipes.empty()) {
    counter.add_for_recipes(needs);
    counter.add_for_recipes(done);
    take_for_made(plan, stock, done);
  }
  for (SupplyNeed& need : needs.supplies) {
    const auto used = std::find_if(done.supplies.begin(), done.supplies.end(),
                                   [&](const auto& one) { return one.supply == need.supply; });
    stock.set_on_hand(
        used == done.supplies.end() ? std::span<const Taking>{} : std::span(used->takings), need);
  }
  const std::vector<LotBalance> lots = lot_balances(plan);
  for (SupplyNeed& need : needs.supplies) {
    const auto there = in_lots(plan, lots, need.supply);
    if (!there) continue;
    need.terms.on_hand = *there;
    need.terms.parts.clear();
  }
  return needs;
}

Needs total_needs(const Plan& plan, std::optional<Day> today) {
  Needs needs = needs_ahead(plan);
  make_mixes(plan, needs);
  // What no order asks for is no need.
  std::erase_if(needs.supplies, [](const SupplyNeed& need) { return need.takings.empty(); });
  std::erase_if(needs.crews, [](const CrewNeed& need) { return need.labour.empty(); });
  for (SupplyNeed& need : needs.supplies) add_up(plan, need, today);
  for (CrewNeed& need : needs.crews) add_up(plan, need);
  return needs;
}

}  // namespace budwood::plan
