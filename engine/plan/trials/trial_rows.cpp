#include "plan/trials/trial_rows.hpp"
#include "sheet/columns/given.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/template/requirements.hpp"

#include <algorithm>

namespace budwood::plan {

using sheet::BatchFacts;
using sheet::CellId;

TrialRows::TrialRows(const sheet::Sheet& sheet, std::size_t row, CellId cell)
    : sheet_(sheet), row_(row), cell_(cell) {
  const auto& all = sheet.layout().protocol.requirements;
  const bool ruled =
      std::any_of(all.begin(), all.end(), [](const auto& one) { return !one.rule.empty(); });
  if (ruled) never_met_ = sheet::never_met(sheet.shared_layout());
}

BatchFacts TrialRows::changed(const Change& change) const {
  BatchFacts facts = sheet_.batch(row_);
  const Tried& tried = *change.tried;
  if (change.value == tried.present) return facts;
  switch (tried.what) {
    case Tried::What::input:
      // Another value does not rest on the count behind the present one.
      sheet::give(sheet_.layout(), tried.cell, change.value, 0, 0, facts.inputs);
      break;
    case Tried::What::plants:
      facts.plants = change.value;
      break;
    case Tried::What::date:
      (facts.ready ? facts.ready : facts.start) = static_cast<calendar::Day>(change.value);
      break;
  }
  return facts;
}

/// The first thing that is in the way of a row.
std::string TrialRows::obstacle(const sheet::Sheet& sheet, std::size_t row) const {
  const sheet::Template& t = sheet.layout();
  for (const std::size_t i : sheet::unmet_expectations(sheet, row)) {
    return t.expectations[i].message + ": " + sheet::shown(sheet, t.expectations[i], row);
  }
  if (const auto& conflict = sheet.conflict(row)) {
    return "the dates contradict each other" +
           (conflict->misses > 0 ? ", by " + calendar::days_text(conflict->misses) : "");
  }
  if (const auto origin = sheet::origin_of_no_value(sheet, row)) {
    return "there is no value for " + describe(t.cell(*origin));
  }
  if (std::isnan(sheet.value(t.ready, row))) return "there are no dates";
  for (std::size_t i = 0; i < t.requirements.size(); ++i) {
    const language::Requirement& one = t.protocol.requirements[i];
    if (one.advice || sheet.value(t.requirements[i], row) != 0) continue;
    const bool told = std::find(never_met_.begin(), never_met_.end(), i) != never_met_.end();
    if (told || language::waiver_of(t.protocol, one) != nullptr) continue;
    return sheet::message_of(sheet, i, row);
  }
  return {};
}

std::vector<TrialRows::Outcome> TrialRows::evaluate(const std::vector<Change>& changes) const {
  sheet::Sheet rows(sheet_.shared_layout(), sheet_.site());
  for (const Change& change : changes) rows.add(changed(change));
  rows.evaluate();
  std::vector<Outcome> out;
  for (std::size_t row = 0; row < changes.size(); ++row) {
    out.push_back({rows.value(cell_, row), obstacle(rows, row)});
  }
  return out;
}

TrialRows::Outcome TrialRows::present() const {
  return {sheet_.value(cell_, row_), obstacle(sheet_, row_)};
}

}  // namespace budwood::plan
