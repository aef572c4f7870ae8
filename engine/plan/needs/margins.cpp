#include "plan/needs/margins.hpp"

#include <algorithm>

#include "plan/needs/costs.hpp"
#include "plan/needs/needs_counter.hpp"
#include "plan/numbers.hpp"
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

bool rests_on_count(const sheet::Row& row, language::InputId input) {
  const auto& stages = row.layout().stages;
  return std::any_of(stages.begin(), stages.end(), [&](const sheet::StageCells& cells) {
    return cells.evidence.input == input && row.value(cells.evidence.seen) > 0;
  });
}

/// The value of the input when it is better by one percentage point; nothing outside its range.
std::optional<double> better(const sheet::Row& row, const language::LossInput& loss) {
  const language::Protocol& protocol = row.protocol();
  const language::Input& input = protocol.inputs[loss.input];
  if (row.facts().sure > 0 && rests_on_count(row, loss.input)) return std::nullopt;
  const double value =
      row.value(row.layout().inputs[loss.input]) + (loss.lost ? -one_percent : one_percent);
  const bool ranged = input.lowest != language::no_formula;
  const double low = ranged ? protocol.node(input.lowest).value : 0;
  const double high = ranged ? protocol.node(input.highest).value : 1;
  if (value < low - sheet::slack(low, high) || value > high + sheet::slack(low, high)) {
    return std::nullopt;
  }
  return value;
}

/// The sheet with the input better in every row where it can be.
sheet::Sheet improved(const sheet::Sheet& sheet, const language::LossInput& loss) {
  sheet::Sheet out(sheet.shared_layout(), sheet.site());
  for (std::size_t i = 0; i < sheet.size(); ++i) {
    const sheet::Row row(sheet, i);
    sheet::BatchFacts facts = row.facts();
    if (const auto value = better(row, loss)) {
      facts.inputs.emplace_back(sheet.layout().inputs[loss.input], *value);
    }
    out.add(std::move(facts));
  }
  out.evaluate();
  return out;
}

/// The orders and the batches that have dates, by sheet.
struct Users {
  std::vector<std::uint32_t> orders, batches;
};

std::vector<Users> users_of_sheets(const Plan& plan) {
  std::vector<Users> out(plan.sheets.size());
  for (std::uint32_t i = 0; i < plan.orders.size(); ++i) {
    out[plan.batches[plan.orders[i].batch].sheet].orders.push_back(i);
  }
  for (std::uint32_t b = 0; b < plan.batches.size(); ++b) {
    if (plan.batches[b].dated) out[plan.batches[b].sheet].batches.push_back(b);
  }
  return out;
}

}  // namespace

std::vector<Margin> margins(const Plan& plan) {
  const NeedsCounter counter(plan);
  const std::vector<Users> users = users_of_sheets(plan);
  std::vector<Margin> out;
  for (std::size_t s = 0; s < plan.sheets.size(); ++s) {
    const language::Protocol& protocol = plan.sheets[s].layout().protocol;
    const auto costs = [&](const sheet::Sheet& values) {
      return cost_by_batch(plan, counter.count(users[s].orders, &values));
    };
    auto now = costs(plan.sheets[s]);
    for (const language::LossInput& loss : loss_inputs(protocol)) {
      const sheet::Sheet other = improved(plan.sheets[s], loss);
      auto then = costs(other);
      for (const std::uint32_t batch : users[s].batches) {
        const sheet::Row row = plan.row_of(plan.batches[batch]);
        if (!better(row, loss)) continue;
        const sheet::Row improved_row(other, row.number());
        // Where no fewer are started, more come: what is beyond today's number can be thrown out.
        const double fewer = started(row) - started(improved_row);
        const double more = fewer > 0 ? 1 : delivered(improved_row) / delivered(row);
        out.push_back({batch, protocol.inputs[loss.input].name,
                       std::max(0.0, now[batch] - then[batch] / more), fewer});
      }
    }
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Margin& a, const Margin& b) { return a.batch < b.batch; });
  return out;
}

}  // namespace budwood::plan
