#include "plan/trials/sensitivity.hpp"

#include <algorithm>
#include <cmath>

#include "plan/plan.hpp"
#include "plan/trials/trial_rows.hpp"
#include "plan/trials/what_if.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

namespace {

using sheet::CellId;
using Change = TrialRows::Change;
using Outcome = TrialRows::Outcome;

constexpr int trial_count = 33;
constexpr calendar::Day days_either_way = 28;

/// The largest power of ten that divides a range into 500 steps or more; counted things go by one.
double grid_step(double range, bool whole) {
  constexpr double fewest_steps = 500;
  const double step = range > 0 ? std::pow(10, std::floor(std::log10(range / fewest_steps))) : 1;
  return whole ? std::max(1.0, std::round(step)) : step;
}

double on_grid(double value, double step) {
  return std::round(value / step) * step;
}

/// The values at which a fact is tried; results come later.
void place_trials(Tried& tried, double low, double high, int count) {
  const double from = tried.unit.from_base(low);
  const double to = tried.unit.from_base(high);
  std::vector<double> values{low, high, tried.present};
  for (int i = 1; i + 1 < count; ++i) {
    const double inside = on_grid(from + (to - from) * i / (count - 1), tried.step);
    values.push_back(std::clamp(tried.unit.to_base(inside), low, high));
  }
  std::sort(values.begin(), values.end());
  // What differs by rounding alone is one value; the present one stays as it is.
  const double slack = units::slack(high, low);
  for (const double value : values) {
    const bool same = !tried.trials.empty() && value - tried.trials.back().value <= slack;
    if (!same) {
      tried.trials.push_back({value, sheet::no_value, false});
    } else if (value == tried.present) {
      tried.trials.back().value = value;
    }
  }
}

Tried try_input(const sheet::Row& row, language::InputId id) {
  const sheet::Template& t = row.layout();
  const language::Input& input = t.protocol.inputs[id];
  Tried out;
  out.cell = t.inputs[id];
  out.unit = input.unit;
  out.present = row.value(out.cell);
  const double low = t.protocol.node(input.lowest).value;
  const double high = t.protocol.node(input.highest).value;
  const bool whole =
      input.type.kind == language::Type::Kind::quantity && input.type.dimension == units::count;
  out.step = grid_step(input.unit.from_base(high) - input.unit.from_base(low), whole);
  place_trials(out, low, high, trial_count);
  return out;
}

std::vector<Tried> try_batch(const sheet::Row& row) {
  const sheet::BatchFacts& facts = row.facts();
  Tried plants;
  plants.what = Tried::What::plants;
  plants.cell = row.layout().ordered;
  plants.unit = *units::find_unit("plants");
  plants.present = facts.plants;
  const double low = std::max(1.0, std::round(facts.plants / 2));
  plants.step = grid_step(2 * facts.plants - low, true);
  place_trials(plants, low, 2 * facts.plants, trial_count);

  Tried date;
  date.what = Tried::What::date;
  date.cell = row.layout().ready;
  date.present = facts.ready.value_or(facts.first_day().value_or(0));
  place_trials(date, std::max<double>(date.present - days_either_way, calendar::first_day),
               std::min<double>(date.present + days_either_way, calendar::last_day),
               2 * days_either_way + 1);
  return {plants, date};
}

void run_trials(const TrialRows& rows, std::vector<Tried>& all) {
  std::vector<Change> changes;
  for (const Tried& tried : all) {
    for (const Tried::Trial& trial : tried.trials) changes.push_back({&tried, trial.value});
  }
  const std::vector<Outcome> outcomes = rows.evaluate(changes);
  auto next = outcomes.begin();
  for (Tried& tried : all) {
    for (Tried::Trial& trial : tried.trials) {
      trial.result = next->result;
      trial.feasible = next->obstacle.empty();
      ++next;
    }
  }
}

/// An end of a feasible stretch: it lies between a value that will do and one that will not.
struct Edge {
  Tried* tried = nullptr;
  double good = 0, bad = 0;
  double Tried::Stretch::*side = nullptr;
  std::size_t stretch = 0;
  std::string obstacle;

  /// The value of the grid half way between; nothing when there is none.
  std::optional<double> middle() const {
    const units::Unit& unit = tried->unit;
    const double a = unit.from_base(good);
    const double b = unit.from_base(bad);
    const double half = on_grid((a + b) / 2, tried->step);
    const double slack = tried->step * 1e-6;
    const bool between = half > std::min(a, b) + slack && half < std::max(a, b) - slack;
    return between ? std::optional(unit.to_base(half)) : std::nullopt;
  }
};

/// The feasible stretches as the trials show them, and the edges to be found more closely.
std::vector<Edge> find_stretches(std::vector<Tried>& all) {
  std::vector<Edge> edges;
  for (Tried& tried : all) {
    const std::vector<Tried::Trial>& trials = tried.trials;
    for (std::size_t i = 0; i < trials.size(); ++i) {
      if (!trials[i].feasible) continue;
      const double value = trials[i].value;
      if (i == 0 || !trials[i - 1].feasible) {
        tried.feasible.push_back({value, value});
        if (i > 0) {
          edges.push_back({&tried, value, trials[i - 1].value, &Tried::Stretch::low,
                           tried.feasible.size() - 1, ""});
        }
      }
      tried.feasible.back().high = value;
      if (i + 1 < trials.size() && !trials[i + 1].feasible) {
        edges.push_back({&tried, value, trials[i + 1].value, &Tried::Stretch::high,
                         tried.feasible.size() - 1, ""});
      }
    }
  }
  return edges;
}

/// Halves all edges together, one round after the other.
void refine(const TrialRows& rows, std::vector<Edge>& edges) {
  for (;;) {
    std::vector<Edge*> open;
    std::vector<Change> changes;
    for (Edge& edge : edges) {
      if (const auto middle = edge.middle()) {
        open.push_back(&edge);
        changes.push_back({edge.tried, *middle});
      }
    }
    if (open.empty()) break;
    const std::vector<Outcome> outcomes = rows.evaluate(changes);
    for (std::size_t i = 0; i < open.size(); ++i) {
      (outcomes[i].obstacle.empty() ? open[i]->good : open[i]->bad) = changes[i].value;
    }
  }
  std::vector<Change> changes;
  for (Edge& edge : edges) {
    edge.tried->feasible[edge.stretch].*edge.side = edge.good;
    changes.push_back({edge.tried, edge.bad});
  }
  const std::vector<Outcome> outcomes = rows.evaluate(changes);
  for (std::size_t i = 0; i < edges.size(); ++i) edges[i].obstacle = outcomes[i].obstacle;
}

void tell_obstacles(const std::vector<Edge>& edges) {
  for (const Edge& edge : edges) {
    if (edge.tried->around_present() != &edge.tried->feasible[edge.stretch]) continue;
    (edge.side == &Tried::Stretch::low ? edge.tried->below : edge.tried->above) = edge.obstacle;
  }
}

}  // namespace

const Tried::Trial* Tried::smallest() const {
  const Trial* best = nullptr;
  for (const Trial& one : trials) {
    if (std::isnan(one.result)) continue;
    if (best == nullptr || one.result < best->result) best = &one;
  }
  return best;
}

const Tried::Trial* Tried::largest() const {
  const Trial* best = nullptr;
  for (const Trial& one : trials) {
    if (std::isnan(one.result)) continue;
    if (best == nullptr || one.result > best->result) best = &one;
  }
  return best;
}

double Tried::moves() const {
  return smallest() == nullptr ? 0 : largest()->result - smallest()->result;
}

const Tried::Stretch* Tried::around_present() const {
  for (const Stretch& one : feasible) {
    if (one.low <= present && present <= one.high) return &one;
  }
  return feasible.empty() ? nullptr : &feasible.front();
}

Sensitivity sensitivity_of(const Plan& plan, const BatchPlan& batch, CellId cell) {
  const sheet::Row row = plan.row_of(batch);
  const sheet::Template& t = row.layout();
  const TrialRows rows(row, cell);
  std::vector<Tried> all;
  Sensitivity out;
  out.cell = cell;
  const Outcome now = rows.present();
  out.present = now.result;
  out.obstacle = now.obstacle;
  for (const language::InputId i : t.inputs.ids()) {
    const language::Input& input = t.protocol.inputs[i];
    if (input.lowest == language::no_formula || input.highest == language::no_formula) {
      out.without_range.push_back(t.inputs[i]);
    } else {
      all.push_back(try_input(row, i));
    }
  }
  const std::size_t inputs = all.size();
  for (Tried& one : try_batch(row)) all.push_back(std::move(one));
  run_trials(rows, all);
  std::vector<Edge> edges = find_stretches(all);
  refine(rows, edges);
  tell_obstacles(edges);
  const auto middle = all.begin() + static_cast<std::ptrdiff_t>(inputs);
  out.inputs.assign(std::make_move_iterator(all.begin()), std::make_move_iterator(middle));
  out.batch.assign(std::make_move_iterator(middle), std::make_move_iterator(all.end()));
  std::stable_sort(out.inputs.begin(), out.inputs.end(),
                   [](const Tried& a, const Tried& b) { return a.moves() > b.moves(); });
  return out;
}

}  // namespace budwood::plan
