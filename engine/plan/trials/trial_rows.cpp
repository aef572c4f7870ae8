#include "plan/trials/trial_rows.hpp"
#include "sheet/columns/given.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/template/requirements.hpp"

#include <algorithm>

namespace budwood::plan {

using sheet::BatchFacts;
using sheet::CellId;

TrialRows::TrialRows(const sheet::Row& row, CellId cell) : row_(row), cell_(cell) {
  const auto& all = row.protocol().requirements;
  const bool ruled =
      std::any_of(all.begin(), all.end(), [](const auto& one) { return !one.rule.empty(); });
  if (ruled) never_met_ = sheet::never_met(row.sheet().shared_layout());
}

BatchFacts TrialRows::changed(const Change& change) const {
  BatchFacts facts = row_.facts();
  const Tried& tried = *change.tried;
  if (change.value == tried.present) return facts;
  switch (tried.what) {
    case Tried::What::input:
      // Another value does not rest on the count behind the present one.
      sheet::give(row_.layout(), tried.cell, change.value, {}, facts.inputs);
      break;
    case Tried::What::plants:
      facts.plants = change.value;
      break;
    case Tried::What::date:
      (facts.ready   ? facts.ready
       : facts.start ? facts.start
                     : facts.not_before) = static_cast<calendar::Day>(change.value);
      break;
  }
  return facts;
}

/// The first thing that is in the way of a row.
std::string TrialRows::obstacle(const sheet::Row& row) const {
  const sheet::Template& t = row.layout();
  for (const std::size_t i : sheet::unmet_expectations(row)) {
    return t.expectations[i].message + ": " + sheet::shown(row, t.expectations[i]);
  }
  if (const auto& conflict = row.conflict()) {
    return "the dates contradict each other" +
           (conflict->misses > 0 ? ", by " + calendar::days_text(conflict->misses) : "");
  }
  if (const auto origin = sheet::origin_of_no_value(row)) {
    return "there is no value for " + describe(t.cell(*origin));
  }
  if (!row.dated()) return "there are no dates";
  for (std::size_t i = 0; i < t.requirements.size(); ++i) {
    const language::Requirement& one = t.protocol.requirements[i];
    if (one.advice || row.value(t.requirements[i]) != 0) continue;
    const bool told = std::find(never_met_.begin(), never_met_.end(), i) != never_met_.end();
    if (told || language::waiver_of(t.protocol, one) != nullptr) continue;
    return sheet::message_of(row, i);
  }
  return {};
}

std::vector<TrialRows::Outcome> TrialRows::evaluate(const std::vector<Change>& changes) const {
  sheet::Sheet rows(row_.sheet().shared_layout(), row_.sheet().site());
  for (const Change& change : changes) rows.add(changed(change));
  rows.evaluate();
  std::vector<Outcome> out;
  for (std::size_t i = 0; i < changes.size(); ++i) {
    const sheet::Row row(rows, i);
    out.push_back({row.value(cell_), obstacle(row)});
  }
  return out;
}

TrialRows::Outcome TrialRows::present() const {
  return {row_.value(cell_), obstacle(row_)};
}

}  // namespace budwood::plan
