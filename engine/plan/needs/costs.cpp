#include "plan/needs/costs.hpp"

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

  BatchCost batch(std::size_t index) const {
    BatchCost out;
    out.batch = static_cast<std::uint32_t>(index);
    for (std::size_t s = 0; s < stages_[index].size(); ++s) {
      StageCost stage = stages_[index][s];
      stage.stage = static_cast<std::uint16_t>(s);
      if (stage.total() <= 0 && stage.complete) continue;
      out.supplies += stage.supplies;
      out.labour += stage.labour;
      out.complete = out.complete && stage.complete;
      out.stages.push_back(stage);
    }
    const auto plants = plan_.facts_of(plan_.batches[index]).plants.value;
    if (plants > 0) out.a_plant = out.total() / static_cast<double>(plants);
    return out;
  }

 private:
  const Plan& plan_;
  std::vector<std::vector<StageCost>> stages_;  ///< by batch, then as in its protocol
};

/// What is used up: of a supply that comes back only what is spoilt.
void add_supply(const SupplyNeed& need, CostTable& table, Costs& costs) {
  bool unpriced = false;
  for (const Taking& taking : need.takings) {
    const double used_up = need.reused ? taking.spoilt : taking.amount;
    if (used_up <= 0) continue;
    StageCost& stage = table.of(taking.order);
    if (need.terms.price) {
      stage.supplies += used_up * *need.terms.price;
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
      stage.labour += labour.seconds / units::seconds_an_hour * *need.cost;
    } else {
      stage.complete = false;
    }
  }
  if (!need.cost) costs.unpriced_crews.push_back(need.crew);
}

}  // namespace

Costs batch_costs(const Plan& plan, const Needs& needs) {
  Costs costs;
  CostTable table(plan);
  for (const SupplyNeed& need : needs.supplies) add_supply(need, table, costs);
  for (const CrewNeed& need : needs.crews) add_labour(need, table, costs);
  for (std::size_t i = 0; i < plan.batches.size(); ++i) {
    if (!plan.batches[i].dated) continue;
    costs.batches.push_back(table.batch(i));
    costs.supplies += costs.batches.back().supplies;
    costs.labour += costs.batches.back().labour;
  }
  return costs;
}

}  // namespace budwood::plan
