#include "page/open/live_sheet.hpp"

#include "plan/plan.hpp"
#include "plan/trials/edit_of.hpp"
#include "report/sheet/sheet_cells.hpp"

namespace budwood::page {

namespace {

std::vector<sheet::Sheet> copies_of(const plan::Plan& plan) {
  std::vector<sheet::Sheet> out;
  out.reserve(plan.sheets.size());
  for (const sheet::Sheet& one : plan.sheets) out.emplace_back(one);
  return out;
}

}  // namespace

LiveSheet::LiveSheet(const plan::Plan& plan) : sheets_(copies_of(plan)) {
  for (const sheet::Sheet& one : plan.sheets) {
    batches_.emplace_back(one.size());
    units_.emplace_back();
    for (sheet::CellId id = 0; id < one.layout().cells.size(); ++id) {
      units_.back().push_back(report::cell_unit(one, id));
    }
  }
  for (std::size_t i = 0; i < plan.batches.size(); ++i) {
    batches_[plan.batches[i].sheet][plan.batches[i].row] = i;
  }
}

LiveSheet::Outcome LiveSheet::make(const plan::Plan& plan,
                                   const std::vector<plan::Change>& changes) {
  Outcome out;
  std::vector<sheet::Edit> edits;
  for (const plan::Change& change : changes) {
    if (auto edit = plan::edit_of(plan, change)) {
      edits.push_back(std::move(*edit));
    } else {
      out.complete = false;
    }
  }
  if (edits.empty()) return out;
  const std::size_t listener = sheets_.subscribe([&](const sheet::Changes& changed) {
    out.values.insert(out.values.end(), changed.values.begin(), changed.values.end());
  });
  out.problem = sheets_.apply(edits);
  sheets_.unsubscribe(listener);
  return out;
}

LiveSheet::Outcome LiveSheet::attempt(const plan::Plan& plan,
                                      const std::vector<plan::Change>& changes) {
  Outcome out = make(plan, changes);
  if (out.problem.empty() && !out.values.empty()) sheets_.undo();
  return out;
}

}  // namespace budwood::page
