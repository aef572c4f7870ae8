#include "app/commands/sensitivity_command.hpp"

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/names.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "plan/trials/sensitivity.hpp"
#include "report/sheet/sensitivity.hpp"
#include "sheet/template/cell_names.hpp"

namespace budwood::app {

namespace {

/// The named batch, or all of them.
std::vector<const plan::BatchPlan*> batches_named(const plan::Plan& plan,
                                                  const std::optional<std::string>& id) {
  std::vector<const plan::BatchPlan*> found;
  if (id) {
    const plan::BatchPlan* one = find_batch(plan, *id);
    if (one != nullptr) found.push_back(one);
    return found;
  }
  for (const plan::BatchPlan& one : plan.batches) found.push_back(&one);
  return found;
}

int show_sensitivity(PlannedBook& planned, const std::optional<std::string>& batch,
                     const std::string& cell, const ResultArguments& result) {
  const auto batches = batches_named(planned.plan, batch);
  if (batches.empty()) {
    report_problems(planned);
    return batch ? exit_misuse : exit_faults;
  }
  std::vector<report::BatchSensitivity> all;
  for (const plan::BatchPlan* one : batches) {
    const sheet::CellId id = sheet::find_cell(planned.plan.sheet_of(*one).layout(), cell);
    if (id == sheet::no_cell) continue;
    all.push_back({one, plan::sensitivity_of(planned.plan, *one, id)});
  }
  if (all.empty()) {
    complain_of_cell(planned.plan.sheet_of(*batches.front()).layout(), cell);
    return exit_misuse;
  }
  const bool written = write_result(result.file, [&](std::ostream& out) {
    report::write_sensitivity(out, planned.plan, all, result.chosen(),
                              output_style(!result.file.empty()));
  });
  report_conflicts(planned.plan, batch, planned.diagnostics);
  return finish(planned, written);
}

}  // namespace

int run_sensitivity(const BookArguments& book, const std::optional<std::string>& batch,
                    const std::string& cell, const ResultArguments& result) {
  return run_on_book(book, "", [&](PlannedBook& planned) {
    return show_sensitivity(planned, batch, cell, result);
  });
}

}  // namespace budwood::app
