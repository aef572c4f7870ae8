#include "levelling/search/model.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include "levelling/rules/length_rule.hpp"
#include "levelling/rules/orders.hpp"

namespace budwood::levelling {

namespace {

bool fixed(const Point& point) {
  return point.earliest == point.latest;
}

bool slips(const Use& use) {
  return use.slack > 0 || use.starts != nullptr;
}

/// Whether a use lies where it is whatever is chosen, so that it only lessens what is free.
bool settled_use(const Problem& problem, const Use& use) {
  return use.slack == 0 && fixed(problem.points[use.from.point]) &&
         fixed(problem.points[use.to.point]);
}

/// Whether a settled use is left out.
bool settled_out(const Problem& problem, const Use& use) {
  return use.optional && use.starts != nullptr &&
         !use.starts->contains(problem.points[use.from.point].earliest + use.from.offset);
}

Variable begin_variable(const Problem& problem, const Use& use) {
  const Point& point = problem.points[use.from.point];
  return {point.earliest + use.from.offset, point.latest + use.from.offset + use.slack, use.starts};
}

void add_begin(Model& model, const Use& use) {
  const auto begin = static_cast<VariableId>(model.variables.size());
  model.variables.push_back(begin_variable(*model.problem, use));
  model.lags.push_back({use.from.point, begin, use.from.offset, {}});
  model.lags.push_back({begin, use.from.point, -use.from.offset - use.slack, {}});
  model.begins.back() = begin;
  if (!use.optional || use.starts == nullptr) return;
  const Point& point = model.problem->points[use.from.point];
  auto optional = std::make_unique<OptionalBegin>(use, point.earliest + use.from.offset,
                                                  point.latest + use.from.offset);
  if (optional->missed().empty()) return;
  model.variables.back().allowed = &optional->allowed();
  model.lengths.push_back({use.from.point, begin, &optional->most(), true});
  model.lengths.push_back({begin, use.from.point, &optional->least(), true});
  model.optional.back() = std::move(optional);
}

Demand demand_of(const Model& model, std::size_t index) {
  const Use& use = model.problem->uses[index];
  Demand demand{use.resource,    use.amount,   use.from.point,
                use.from.offset, use.to.point, use.to.offset};
  if (const auto begin = model.begins[index]) {
    demand.from = demand.to = *begin;
    demand.from_offset = 0;
    demand.to_offset = use.to.offset - use.from.offset;
    if (model.optional[index]) demand.missed = &model.optional[index]->missed();
  }
  return demand;
}

/// Makes `days` cover begin <= d < end.
void cover(FreeDays& days, bool& any, Value begin, Value end) {
  const Value first = any ? std::min(days.first, begin) : begin;
  const Value last =
      any ? std::max(days.first + static_cast<Value>(days.amounts.size()), end) : end;
  days.first = first;
  days.amounts.resize(static_cast<std::size_t>(last - first));
  any = true;
}

/// What is free of each resource on the days on which a demand can fall.
void add_free_days(Model& model) {
  const Problem& problem = *model.problem;
  model.free.resize(problem.resources.size());
  std::vector<char> any(problem.resources.size());
  for (const Demand& demand : model.demands) {
    bool known = any[demand.resource] != 0;
    const Value begin = model.variables[demand.from].low + demand.from_offset;
    const Value end = model.variables[demand.to].high + demand.to_offset;
    if (begin < end) cover(model.free[demand.resource], known, begin, end);
    any[demand.resource] = known;
  }
  for (ResourceId r = 0; r < problem.resources.size(); ++r) {
    FreeDays& free = model.free[r];
    for (std::size_t i = 0; i < free.amounts.size(); ++i) {
      free.amounts[i] = problem.resources[r].capacity(free.first + static_cast<Day>(i));
    }
  }
  for (const Use& use : problem.uses) {
    if (!settled_use(problem, use) || settled_out(problem, use)) continue;
    FreeDays& free = model.free[use.resource];
    const Value begin = problem.points[use.from.point].earliest + use.from.offset - free.first;
    const Value end = problem.points[use.to.point].earliest + use.to.offset - free.first;
    const auto size = static_cast<Value>(free.amounts.size());
    for (Value at = std::max(begin, 0); at < std::min(end, size); ++at) {
      free.amounts[static_cast<std::size_t>(at)] -= use.amount;
    }
  }
  for (FreeDays& free : model.free) {
    for (Amount& amount : free.amounts) amount = std::max<Amount>(amount, 0);
  }
}

void add_part(std::vector<CostPart>& parts, SideId side, Value free, Cost weight) {
  if (weight == 0) return;
  for (CostPart& part : parts) {
    if (part.side == side && part.free == free) {
      part.weight += weight;
      return;
    }
  }
  parts.push_back({side, free, weight});
}

/// What slips cost: a slip is the begin less the day of the point.
void add_slips(const Model& model, CostSum& sum, Cost& most) {
  const Problem& problem = *model.problem;
  for (std::size_t u = 0; u < problem.uses.size(); ++u) {
    const Use& use = problem.uses[u];
    if (!model.begins[u] || use.apart == 0) continue;
    const VariableId begin = *model.begins[u];
    const Value best = use.from.offset + use.wanted;
    sum.parts.push_back({lower_side(begin), best, use.apart, upper_side(use.from.point)});
    sum.parts.push_back({upper_side(begin), -best, use.apart, lower_side(use.from.point)});
    most += std::max(use.cost(0), use.cost(use.slack));
    sum.unit = std::gcd(sum.unit, use.apart);
  }
}

/// The total of an objective in the largest unit that is exact, or in a larger one when it would
/// not fit. Slips count in the last one.
void add_sum(Model& model, const std::vector<Term>& terms, bool last) {
  CostSum sum;
  sum.total = static_cast<VariableId>(model.variables.size());
  sum.unit = 0;
  Cost most = 0;
  for (const Term& term : terms) {
    add_part(sum.parts, lower_side(term.point), term.wanted, term.late);
    add_part(sum.parts, upper_side(term.point), -term.wanted, term.early);
    const Variable& point = model.variables[term.point];
    most += std::max(term.at(point.low), term.at(point.high));
    sum.unit = std::gcd(sum.unit, std::gcd(term.late, term.early));
  }
  if (last) add_slips(model, sum, most);
  constexpr Cost largest = std::numeric_limits<Value>::max() / 4;
  sum.unit = std::max<Cost>(sum.unit, 1);
  if (most / sum.unit > largest) sum.unit *= most / sum.unit / largest + 1;
  model.variables.push_back({0, static_cast<Value>((most + sum.unit - 1) / sum.unit), nullptr});
  model.sums.push_back(std::move(sum));
}

bool windows_open(const std::vector<Variable>& variables) {
  return std::all_of(variables.begin(), variables.end(), [](const Variable& v) {
    return v.low <= v.high &&
           (v.allowed == nullptr || v.allowed->next(v.low).value_or(v.high + 1) <= v.high);
  });
}

}  // namespace

Model make_model(const Problem& problem, bool orders) {
  Model model;
  model.problem = &problem;
  for (const Point& point : problem.points) {
    model.variables.push_back({point.earliest, point.latest, point.allowed});
  }
  model.possible = LengthRule::cut_windows(problem.lengths, model.variables);
  model.lengths = problem.lengths;
  for (const Lag& lag : problem.lags) model.lags.push_back({lag.from, lag.to, lag.days, {}});
  for (const Use& use : problem.uses) {
    model.begins.emplace_back();
    model.optional.emplace_back();
    if (slips(use)) add_begin(model, use);
  }
  model.date_count = model.variables.size();
  model.possible = model.possible && windows_open(model.variables);
  if (!model.possible) return model;
  for (std::size_t u = 0; u < problem.uses.size(); ++u) {
    const Use& use = problem.uses[u];
    if (use.amount <= 0 || settled_use(problem, use)) continue;
    const Demand demand = demand_of(model, u);
    if (demand.from == demand.to && demand.from_offset >= demand.to_offset) continue;
    model.demands.push_back(demand);
  }
  add_free_days(model);
  for (const auto& terms : problem.objectives) {
    add_sum(model, terms, &terms == &problem.objectives.back());
  }
  if (orders) add_orders(model);
  return model;
}

Schedule schedule_of(const Model& model, const Bounds& bounds) {
  const Problem& problem = *model.problem;
  Schedule schedule;
  for (PointId p = 0; p < problem.points.size(); ++p) schedule.days.push_back(bounds.least(p));
  for (std::size_t u = 0; u < problem.uses.size(); ++u) {
    const Moment& from = problem.uses[u].from;
    schedule.slips.push_back(0);
    if (!model.begins[u]) continue;
    const Day begin = bounds.least(*model.begins[u]);
    const bool missed = model.optional[u] && model.optional[u]->missed().contains(begin);
    schedule.slips.back() = missed ? left_out : begin - schedule.days[from.point] - from.offset;
  }
  return schedule;
}

std::vector<Value> values_of(const Model& model, const Schedule& schedule) {
  std::vector<Value> values(schedule.days.begin(), schedule.days.end());
  values.resize(model.date_count);
  for (std::size_t u = 0; u < model.problem->uses.size(); ++u) {
    const Use& use = model.problem->uses[u];
    if (!model.begins[u]) continue;
    const Day slip = schedule.slips[u] == left_out ? use.wanted : schedule.slips[u];
    values[*model.begins[u]] = schedule.days[use.from.point] + use.from.offset + slip;
  }
  return values;
}

}  // namespace budwood::levelling
