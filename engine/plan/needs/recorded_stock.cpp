#include "plan/needs/recorded_stock.hpp"

#include <algorithm>
#include <optional>

#include "plan/orders/order.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

using record::Entry;
using record::What;

/// An amount as it was noted, in base units; nothing when it does not fit the supply any more.
std::optional<double> amount_of(double number, const std::string& unit, const SupplyNeed& need) {
  if (unit.empty() || unit == need.unit.symbol || unit == need.unit.noun) {
    return need.unit.to_base(number);
  }
  if (unit == "packs" || unit == "pack") {
    return need.pack > 0 ? std::optional(number * need.pack) : std::nullopt;
  }
  const auto known = units::find_unit(unit);
  const bool fits = known && known->dimension == need.unit.dimension;
  return fits ? std::optional(known->to_base(number)) : std::nullopt;
}

std::optional<double> amount_of(const Entry& entry, const SupplyNeed& need) {
  return entry.number ? amount_of(*entry.number, entry.unit, need) : std::nullopt;
}

}  // namespace

RecordedStock::RecordedStock(const Plan& plan) : plan_(plan) {
  for (const Entry& entry : plan.book->history) {
    if (record::is_of_stock(entry.what)) stock_[entry.name].push_back(&entry);
    if (entry.what == What::done && !entry.used.empty()) used_[record::whole_place(entry)] = &entry;
  }
}

std::vector<const Entry*> RecordedStock::stock_of(const std::string& supply) const {
  const auto found = stock_.find(supply);
  return found == stock_.end() ? std::vector<const Entry*>{} : found->second;
}

const Entry* RecordedStock::noted_for(const Taking& taking) const {
  if (used_.empty()) return nullptr;
  const auto found = used_.find(order_id(plan_, plan_.orders[taking.order]));
  return found == used_.end() ? nullptr : found->second;
}

double RecordedStock::on_hand(const SupplyNeed& need, const std::vector<Taking>& used) const {
  double there = need.terms.on_hand;
  std::optional<calendar::Day> counted;
  const std::vector<const Entry*> entries = stock_of(need.supply);
  for (const Entry* entry : entries) {
    if (entry->what != What::stock || (counted && entry->day < *counted)) continue;
    const auto amount = amount_of(*entry, need);
    if (!amount) continue;
    counted = entry->day;
    there = *amount;
  }
  const auto since = [&](calendar::Day day) { return !counted || day > *counted; };
  for (const Entry* entry : entries) {
    if (entry->what == What::stock || !since(entry->day)) continue;
    const double amount = amount_of(*entry, need).value_or(0);
    there += entry->what == What::came_in ? amount : -amount;
  }
  for (const Taking& taking : used) {
    if (!since(taking.day)) continue;
    double taken = taking.amount;
    if (const Entry* noted = noted_for(taking)) {
      for (const record::Used& one : noted->used) {
        if (one.supply == need.supply)
          taken = amount_of(one.amount, one.unit, need).value_or(taken);
      }
    }
    there -= taken;
  }
  return std::max(0.0, there);
}

}  // namespace budwood::plan
