#include "plan/needs/margins.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "plan/needs/costs.hpp"
#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

constexpr double one_percent = 0.01;

/// The inputs of a protocol that say what is lost, each once.
std::vector<language::LossInput> loss_inputs(const language::Protocol& protocol) {
  std::vector<language::LossInput> out;
  for (const language::Stage& stage : protocol.stages) {
    const auto found = language::loss_input(protocol, stage);
    if (!found) continue;
    const bool known = std::any_of(out.begin(), out.end(),
                                   [&](const auto& one) { return one.input == found->input; });
    if (!known) out.push_back(*found);
  }
  return out;
}

bool rests_on_count(const sheet::Sheet& sheet, std::size_t row, std::int32_t input) {
  const std::vector<sheet::StageCells>& stages = sheet.layout().stages;
  return std::any_of(stages.begin(), stages.end(), [&](const sheet::StageCells& cells) {
    return cells.evidence.input == input && sheet.value(cells.evidence.seen, row) > 0;
  });
}

/// The value of the input when it is better by one percentage point; nothing outside its range.
std::optional<double> better(const sheet::Sheet& sheet, std::size_t row,
                             const language::LossInput& loss) {
  const language::Protocol& protocol = sheet.layout().protocol;
  const auto index = static_cast<std::size_t>(loss.input);
  const language::Input& input = protocol.inputs[index];
  if (sheet.batch(row).sure > 0 && rests_on_count(sheet, row, loss.input)) return std::nullopt;
  const double value =
      sheet.value(sheet.layout().inputs[index], row) + (loss.lost ? -one_percent : one_percent);
  const bool ranged = input.lowest != language::no_formula;
  const double low = ranged ? protocol.node(input.lowest).value : 0;
  const double high = ranged ? protocol.node(input.highest).value : 1;
  if (value < low - sheet::slack(low, high) || value > high + sheet::slack(low, high)) {
    return std::nullopt;
  }
  return value;
}

double started(const sheet::Sheet& sheet, std::size_t row) {
  double sum = 0;
  const sheet::Template& t = sheet.layout();
  for (const sheet::Chain& chain : t.chains) {
    const auto first = static_cast<std::size_t>(chain.stages.front());
    if (t.protocol.stages[first].takes.empty()) sum += sheet.value(t.stages[first].plants, row);
  }
  return sum;
}

/// The sheet with the input better in every row where it can be.
sheet::Sheet improved(const sheet::Sheet& sheet, const language::LossInput& loss) {
  sheet::Sheet out(sheet.shared_layout(), sheet.site());
  for (std::size_t row = 0; row < sheet.size(); ++row) {
    sheet::BatchFacts facts = sheet.batch(row);
    if (const auto value = better(sheet, row, loss)) {
      facts.inputs.emplace_back(sheet.layout().inputs[static_cast<std::size_t>(loss.input)],
                                *value);
    }
    out.add(std::move(facts));
  }
  out.evaluate();
  return out;
}

using CostByBatch = std::map<std::uint32_t, double>;

CostByBatch cost_by_batch(const Plan& plan) {
  CostByBatch out;
  for (const BatchCost& cost : batch_costs(plan, total_needs(plan)).batches) {
    out[cost.batch] = cost.total();
  }
  return out;
}

}  // namespace

std::vector<Margin> margins(const Plan& plan) {
  const CostByBatch now = cost_by_batch(plan);
  std::vector<Margin> out;
  for (std::size_t s = 0; s < plan.sheets.size(); ++s) {
    const language::Protocol& protocol = plan.sheets[s].layout().protocol;
    for (const language::LossInput& loss : loss_inputs(protocol)) {
      Plan other = plan;
      other.sheets[s] = improved(plan.sheets[s], loss);
      const CostByBatch then = cost_by_batch(other);
      for (const auto& [batch, cost] : now) {
        const BatchPlan& planned = plan.batches[batch];
        const auto found = then.find(batch);
        if (planned.sheet != s || found == then.end()) continue;
        if (!better(plan.sheets[s], planned.row, loss)) continue;
        out.push_back(
            {batch, protocol.inputs[static_cast<std::size_t>(loss.input)].name,
             cost - found->second,
             started(plan.sheets[s], planned.row) - started(other.sheets[s], planned.row)});
      }
    }
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Margin& a, const Margin& b) { return a.batch < b.batch; });
  return out;
}

}  // namespace budwood::plan
