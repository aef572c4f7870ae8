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
    if (entry.what != What::done) continue;
    for (const record::Used& one : entry.used) {
      used_[one.supply].push_back({&entry, one.amount, one.unit});
      noted_.insert(record::whole_place(entry) + " " + one.supply);
    }
  }
}

/// An entry may name all cultivars of a batch at once.
bool RecordedStock::is_noted(const Taking& taking, const std::string& supply) const {
  if (noted_.empty() || taking.making != -1) return false;
  const WorkOrder& order = plan_.orders[taking.order];
  const book::Batch& batch = plan_.facts_of(plan_.batches[order.batch]);
  const std::string rest = "/" + order_name(plan_, order) + " " + supply;
  return noted_.contains(batch.id.value + rest) || noted_.contains(batch.split_from + rest);
}

std::optional<double> RecordedStock::noted(const Taking& taking, const SupplyNeed& need) const {
  const auto used = used_.find(need.supply);
  if (used == used_.end() || !is_noted(taking, need.supply)) return std::nullopt;
  const WorkOrder& order = plan_.orders[taking.order];
  const book::Batch& batch = plan_.facts_of(plan_.batches[order.batch]);
  const std::string rest = "/" + order_name(plan_, order);
  double out = 0;
  for (const Use& one : used->second) {
    const std::string place = record::whole_place(*one.entry);
    if (place != batch.id.value + rest && place != batch.split_from + rest) continue;
    out += amount_of(one.amount, std::string(one.unit), need).value_or(0);
  }
  return out;
}

RecordedStock::UsedInStage RecordedStock::used_in(const book::Batch& batch,
                                                  const language::Stage& stage,
                                                  const language::Protocol& protocol,
                                                  const language::Supply& supply) const {
  UsedInStage out;
  for (const book::OrderDay& done : batch.done) {
    for (const language::WorkId work : stage.works.ids()) {
      const auto& uses = stage.works[work].uses;
      const bool of_supply = std::any_of(uses.begin(), uses.end(), [&](const auto& use) {
        return protocol.supplies[use.supply].name == supply.name;
      });
      const std::string name = stage.name + "/" + std::to_string(work.number()) + "/";
      if (of_supply && done.order.starts_with(name)) out.any_done = true;
    }
  }
  const auto used = used_.find(supply.name);
  if (used == used_.end()) return out;
  SupplyNeed need;
  need.unit = supply.plain_unit;
  need.pack = supply.pack;
  for (const Use& one : used->second) {
    const bool here = one.entry->batch == batch.id.value || one.entry->batch == batch.split_from;
    if (!here || record::stage_of(*one.entry) != stage.name) continue;
    const auto amount = amount_of(one.amount, std::string(one.unit), need);
    if (!amount) continue;
    out.amount = out.amount.value_or(0) + *amount;
    if (one.entry->number) out.plants = out.plants.value_or(0) + *one.entry->number;
  }
  return out;
}

void RecordedStock::set_on_hand(std::span<const Taking> done, SupplyNeed& need) const {
  need.terms.on_hand = std::max(0.0, balance(need, done));
  const bool expires = need.terms.keeps || !need.terms.parts.empty();
  if (expires && !need.reused) need.terms.parts = parts_of(need);
}

std::span<const Entry* const> RecordedStock::entries_of(const std::string& supply) const {
  const auto stock = stock_.find(supply);
  return stock == stock_.end() ? std::span<const Entry* const>{} : std::span(stock->second);
}

const Entry* RecordedStock::last_count(const SupplyNeed& need) const {
  const Entry* last = nullptr;
  for (const Entry* entry : entries_of(need.supply)) {
    if (entry->what != What::stock || (last != nullptr && entry->day < last->day)) continue;
    if (amount_of(*entry, need)) last = entry;
  }
  return last;
}

/// By the day on which they expire; what does not goes last.
std::vector<OnHand> RecordedStock::parts_of(const SupplyNeed& need) const {
  const Entry* count = last_count(need);
  std::vector<const Entry*> came;
  for (const Entry* entry : entries_of(need.supply)) {
    const bool later = count == nullptr || entry->day > count->day;
    if (entry->what == What::came_in && later) came.push_back(entry);
  }
  std::stable_sort(came.begin(), came.end(),
                   [](const Entry* one, const Entry* other) { return one->day > other->day; });
  const auto until = [&](calendar::Day day) {
    return need.terms.keeps ? std::optional(day + *need.terms.keeps) : std::nullopt;
  };
  std::vector<OnHand> out;
  double left = need.terms.on_hand;
  for (const Entry* entry : came) {
    const double amount = std::min(left, amount_of(*entry, need).value_or(0));
    if (amount > 0) out.push_back({amount, until(entry->day)});
    left -= amount;
  }
  const auto written = need.terms.parts.empty() ? std::nullopt : need.terms.parts.front().use_by;
  if (left > 0) out.push_back({left, count == nullptr ? written : until(count->day)});
  std::stable_sort(out.begin(), out.end(), [](const OnHand& one, const OnHand& other) {
    return one.use_by.value_or(calendar::last_day + 1) <
           other.use_by.value_or(calendar::last_day + 1);
  });
  return out;
}

std::vector<std::pair<calendar::Day, double>> RecordedStock::made_of(
    const SupplyNeed& need, std::span<const Taking> done) const {
  std::vector<std::pair<calendar::Day, double>> out;
  if (const auto stock = stock_.find(need.supply); stock != stock_.end()) {
    for (const Entry* entry : stock->second) {
      if (entry->what != What::came_in) continue;
      out.emplace_back(entry->day, amount_of(*entry, need).value_or(0));
    }
  }
  // What was there was used first.
  double beyond = std::max(0.0, -balance(need, done));
  for (auto taking = done.rbegin(); taking != done.rend() && beyond > 0; ++taking) {
    const double part = std::min(beyond, taking->amount);
    out.emplace_back(taking->day, part);
    beyond -= part;
  }
  return out;
}

/// Less than nothing where more was used than was there.
double RecordedStock::balance(const SupplyNeed& need, std::span<const Taking> done) const {
  const Entry* count = last_count(need);
  double there = count == nullptr ? need.terms.on_hand : *amount_of(*count, need);
  const auto entries = entries_of(need.supply);
  const auto since = [&](calendar::Day day) { return count == nullptr || day > count->day; };
  for (const Entry* entry : entries) {
    if (entry->what == What::stock || !since(entry->day)) continue;
    const double amount = amount_of(*entry, need).value_or(0);
    there += entry->what == What::came_in ? amount : -amount;
  }
  if (need.reused) return there;
  if (const auto used = used_.find(need.supply); used != used_.end()) {
    for (const Use& one : used->second) {
      if (since(one.entry->day)) {
        there -= amount_of(one.amount, std::string(one.unit), need).value_or(0);
      }
    }
  }
  for (const Taking& taking : done) {
    if (since(taking.day) && !is_noted(taking, need.supply)) there -= taking.amount;
  }
  return there;
}

}  // namespace budwood::plan
