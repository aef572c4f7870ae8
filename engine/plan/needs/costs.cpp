#include "plan/needs/costs.hpp"

#include "plan/needs/energy.hpp"
#include "plan/needs/needs.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "units/units.hpp"

namespace budwood::plan {

namespace {

/// Costs of every stage of every batch, also those without any.
class CostTable {
 public:
  explicit CostTable(const Plan& plan) : plan_(plan) {
    for (const BatchPlan& batch : plan.batches) {
      stages_.emplace_back(plan.protocol_of(batch).stages.size());
    }
  }

  StageCost& of(std::uint32_t order) {
    const WorkOrder& one = plan_.orders[order];
    return stages_[one.batch][one.stage];
  }

  StageCost& of(const StageOfBatch& whom) { return stages_[whom.batch][whom.stage]; }

  BatchCost batch(std::size_t index) const {
    BatchCost out;
    out.batch = static_cast<std::uint32_t>(index);
    for (const language::StageId s : stages_[index].ids()) {
      StageCost stage = stages_[index][s];
      stage.stage = s;
      if (stage.total() <= 0 && stage.complete) continue;
      out.supplies += stage.supplies;
      out.labour += stage.labour;
      out.energy += stage.energy;
      out.complete = out.complete && stage.complete;
      out.stages.push_back(stage);
    }
    const BatchPlan& batch = plan_.batches[index];
    const double raised =
        static_cast<double>(plan_.facts_of(batch).plants.value) - batch.from_stock;
    if (raised > 0) out.a_plant = out.total() / raised;
    return out;
  }

 private:
  const Plan& plan_;
  std::vector<language::List<StageCost, language::Stage>>
      stages_;  ///< by batch, then as in its protocol
};

/// Of a supply that comes back only what is spoilt is used up; what is made is paid with what it is
/// made of.
double used_up(const SupplyNeed& need, const Taking& taking) {
  if (need.made) return taking.amount - taking.made;
  return need.reused ? taking.spoilt : taking.amount;
}

double money_for(const CrewNeed& need, const Labour& labour) {
  return labour.seconds / units::seconds_an_hour * need.cost.value_or(0);
}

void add_supply(const SupplyNeed& need, CostTable& table, Costs& costs) {
  bool unpriced = false;
  for (const Taking& taking : need.takings) {
    const double amount = used_up(need, taking);
    if (amount <= 0) continue;
    StageCost& stage = table.of(taking.order);
    if (need.terms.price) {
      stage.supplies += amount * *need.terms.price;
    } else {
      stage.complete = false;
      unpriced = true;
    }
  }
  if (unpriced) costs.unpriced_supplies.push_back(need.supply);
}

void add_labour(const CrewNeed& need, CostTable& table, Costs& costs) {
  for (const Labour& labour : need.labour) {
    StageCost& stage = table.of(labour.order);
    if (need.cost) {
      stage.labour += money_for(need, labour);
    } else {
      stage.complete = false;
    }
  }
  if (!need.cost) costs.unpriced_crews.push_back(need.crew);
}

/// Energy without a price leaves a stage incomplete that takes some.
void add_energy(const Plan& plan, CostTable& table, Costs& costs) {
  const PlanEnergy energy = energy_of(plan);
  const book::Site::Energy& prices = plan.book->site.energy;
  const auto add = [](double use, const std::optional<double>& price, StageCost& stage) {
    if (!(use > 0)) return;
    if (price) {
      stage.energy += use * *price;
    } else {
      stage.complete = false;
    }
  };
  for (const StageEnergy& one : energy.stages) {
    StageCost& stage = table.of(one.whom);
    add(one.use.lamps, prices.electricity, stage);
    add(one.use.heat, prices.heat, stage);
  }
  const EnergyUse all = energy.total();
  if (all.lamps > 0 && !prices.electricity) costs.unpriced_energy.emplace_back("electricity");
  if (all.heat > 0 && !prices.heat) costs.unpriced_energy.emplace_back("heat");
}

}  // namespace

Costs batch_costs(const Plan& plan, const Needs& needs) {
  Costs costs;
  CostTable table(plan);
  for (const SupplyNeed& need : needs.supplies) add_supply(need, table, costs);
  for (const CrewNeed& need : needs.crews) add_labour(need, table, costs);
  add_energy(plan, table, costs);
  for (std::size_t i = 0; i < plan.batches.size(); ++i) {
    if (!plan.batches[i].dated) continue;
    costs.batches.push_back(table.batch(i));
    costs.supplies += costs.batches.back().supplies;
    costs.labour += costs.batches.back().labour;
    costs.energy += costs.batches.back().energy;
  }
  return costs;
}

std::map<std::uint32_t, double> cost_by_batch(const Plan& plan, const Needs& needs) {
  std::map<std::uint32_t, double> out;
  for (const SupplyNeed& need : needs.supplies) {
    for (const Taking& taking : need.takings) {
      out[plan.orders[taking.order].batch] += used_up(need, taking) * need.terms.price.value_or(0);
    }
  }
  for (const CrewNeed& need : needs.crews) {
    for (const Labour& labour : need.labour) {
      out[plan.orders[labour.order].batch] += money_for(need, labour);
    }
  }
  return out;
}

}  // namespace budwood::plan
