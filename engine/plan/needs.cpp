#include <algorithm>
#include <cmath>
#include <map>

#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

/// What goes out and comes back, by day.
using Changes = std::map<calendar::Day, double>;

double peak(const Changes& changes) {
  double out = 0;
  double most = 0;
  for (const auto& [day, change] : changes) {
    out += change;
    most = std::max(most, out);
  }
  return most;
}

}  // namespace

Needs total_needs(const Plan& plan) {
  std::map<std::string, SupplyNeed> supplies;
  std::map<std::string, Changes> lent;
  std::map<std::string, double> crews;
  for (const WorkOrder& order : plan.orders) {
    const BatchPlan& batch = plan.batches[order.batch];
    const sheet::Sheet& sheet = plan.sheet_of(batch);
    const language::Protocol& protocol = plan.protocol_of(batch);
    const language::Work& work = protocol.stages[order.stage].works[order.work];
    const sheet::WorkCells& cells = sheet.layout().stages[order.stage].works[order.work];
    if (cells.time != sheet::no_cell) crews[work.crew] += sheet.value(cells.time, batch.row);
    for (std::size_t i = 0; i < work.uses.size(); ++i) {
      const language::Supply& supply =
          protocol.supplies[static_cast<std::size_t>(work.uses[i].supply)];
      const double amount = sheet.value(cells.uses[i].amount, batch.row);
      SupplyNeed& need = supplies[supply.name];
      need.supply = supply.name;
      need.title = supply.title;
      need.unit = supply.unit;
      need.reused = supply.reused;
      need.pack = supply.pack;
      if (supply.reused) {
        const auto ready = static_cast<calendar::Day>(sheet.value(sheet.layout().ready, batch.row));
        lent[supply.name][order.date] += amount;
        // It is free again on the day after the batch has left.
        lent[supply.name][ready + 1] -= amount;
      } else {
        need.amount += amount;
      }
    }
  }
  Needs out;
  for (auto& [name, need] : supplies) {
    if (need.reused) need.amount = peak(lent[name]);
    if (need.pack > 0) need.packs = sheet::round_up(need.amount / need.pack);
    out.supplies.push_back(std::move(need));
  }
  for (const auto& [name, seconds] : crews) out.crews.push_back({name, seconds});
  return out;
}

}  // namespace budwood::plan
