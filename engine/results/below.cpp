#include <algorithm>
#include <map>

#include "results/learn.hpp"
#include "statistics/beta_binomial.hpp"

namespace budwood::results {

namespace {

std::vector<std::string> facts_about(const plan::Plan& plan, const Outcome& outcome) {
  const plan::BatchPlan& batch = plan.batches[outcome.batch];
  std::vector<std::string> out;
  if (!outcome.person.empty()) out.push_back("done by " + outcome.person);
  for (const plan::Origin& one : plan::origins_of(plan, batch)) {
    out.push_back(one.supply + " from " + one.text);
  }
  const std::string& room = plan.protocol_of(batch).stages[outcome.stage].room;
  if (!room.empty()) out.push_back("in " + room);
  for (const sheet::Deviation& one : plan.row_of(batch).deviations()) {
    if (one.happened) out.push_back(one.text);
  }
  return out;
}

/// "if callus < 50 %: Warm the bench."
std::vector<std::string> helps_in(const language::Stage& stage) {
  std::vector<std::string> out;
  for (const language::Contingency& one : stage.contingencies) {
    for (const std::string& warning : one.warnings) {
      out.push_back("if " + one.written + ": " + warning);
    }
    for (const auto& action : one.actions) {
      out.push_back("if " + one.written + ": \"" + action.work.title + "\"");
    }
  }
  return out;
}

/// How far batches differ in what comes through a stage, as far as the plan knows.
double likeness_in(const sheet::Row& row, language::StageId stage) {
  const sheet::CellId cell = row.cells(stage).evidence.likeness;
  const double known = cell == sheet::no_cell ? 0 : row.value(cell, 0);
  return known > 0 ? known : default_likeness;
}

}  // namespace

std::vector<BelowExpectation> below_expectation(const plan::Plan& plan) {
  constexpr double seldom = 0.05;
  // All trays of a stage together: of many trays one is always poor.
  std::map<std::pair<std::uint32_t, std::int32_t>, Outcome> by_stage;
  std::vector<LeftOut> unheard;
  for (const Outcome& one : outcomes_of(plan, unheard)) {
    const auto [place, fresh] = by_stage.try_emplace({one.batch, one.stage}, one);
    if (fresh) continue;
    place->second.plants.good += one.plants.good;
    place->second.plants.of += one.plants.of;
  }
  std::vector<BelowExpectation> out;
  for (const auto& [place, outcome] : by_stage) {
    const sheet::Row row = plan.row_of(plan.batches[outcome.batch]);
    const double usual = row.through(outcome.stage);
    const auto rate = statistics::Rate::scattered(usual, likeness_in(row, outcome.stage));
    // Where nothing is expected to be lost, a single loss would be below expectation.
    if (!rate || !(usual < 1)) continue;
    const double chance =
        statistics::predicted_fewer_than(outcome.plants.of, outcome.plants.good + 1, *rate);
    if (!(chance <= seldom)) continue;
    const language::Protocol& protocol = plan.protocol_of(plan.batches[outcome.batch]);
    out.push_back({plan.facts_of(plan.batches[outcome.batch]).id.value,
                   protocol.stages[outcome.stage].name, outcome.plants, usual, chance,
                   facts_about(plan, outcome), helps_in(protocol.stages[outcome.stage])});
  }
  return out;
}

std::vector<BelowExpectation> newly_below(const plan::Plan& before, const plan::Plan& after) {
  std::vector<BelowExpectation> out = below_expectation(after);
  if (out.empty()) return out;
  const std::vector<BelowExpectation> known = below_expectation(before);
  std::erase_if(out, [&](const BelowExpectation& one) {
    return std::any_of(known.begin(), known.end(), [&](const BelowExpectation& old) {
      return old.batch == one.batch && old.stage == one.stage &&
             old.plants.good == one.plants.good && old.plants.of == one.plants.of;
    });
  });
  return out;
}

}  // namespace budwood::results
