/// A scheduling problem as variables and rules. Used inside this module only.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "levelling/rules/cost_rule.hpp"
#include "levelling/rules/room_rule.hpp"
#include "levelling/search/arcs.hpp"
#include "levelling/search/bounds.hpp"
#include "levelling/search/optional_begin.hpp"

namespace budwood::levelling {

/// The points are the first variables; then come the begins of uses that may slip, the totals of
/// the objectives, and one variable (0 or 1) for each pair of demands that cannot run together.
struct Model {
  const Problem* problem = nullptr;
  std::vector<Variable> variables;
  std::vector<Lagged> lags;
  std::vector<Length> lengths;
  std::vector<Demand> demands;
  std::vector<FreeDays> free;
  std::vector<CostSum> sums;
  /// By use: the variable of its begin, when it is not bound to its points.
  std::vector<std::optional<VariableId>> begins;
  /// By use: when it is left out, of those that may have to be. Borrowed by variables and rules.
  std::vector<std::unique_ptr<OptionalBegin>> optional;
  std::size_t date_count = 0;  ///< points and begins: what a schedule has to fix
  bool possible = true;
};

/// `orders`: whether demands that cannot run together are told apart by a variable each.
Model make_model(const Problem& problem, bool orders);

/// The days of a model whose dates are all fixed.
Schedule schedule_of(const Model& model, const Bounds& bounds);
/// A schedule as values of the dates.
std::vector<Value> values_of(const Model& model, const Schedule& schedule);

}  // namespace budwood::levelling
