#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/commands/office_command.hpp"
#include "app/commands/sensitivity_command.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"

namespace budwood::app {

namespace {

struct SheetArguments {
  BookArguments book;
  report::SheetView view;
  std::vector<std::string> changes;
  std::string sensitivity;  ///< the cell; "" when not asked for
  ResultArguments result;
};

int show_sheet(const SheetArguments& arguments, PlannedBook& planned) {
  std::unique_ptr<ChangedPlan> changed;
  if (!arguments.changes.empty()) {
    changed = try_changes(planned, arguments.changes);
    if (changed == nullptr) return exit_misuse;
  }
  const auto write = [&](std::ostream& out) {
    const report::Format format = arguments.result.chosen();
    const report::Style style = output_style(!arguments.result.file.empty());
    if (changed == nullptr) {
      report::write_sheet(out, planned.plan, arguments.view, format, style);
    } else {
      const report::Comparison both{planned.plan, changed->plan, changed->what_if.changes};
      report::write_sheet_differences(out, both, arguments.view, format, style);
    }
  };
  const bool written =
      arguments.result.is_workbook()
          ? write_workbook(arguments.result, office::sheet_workbook(planned.plan, arguments.view))
          : write_result(arguments.result.file, write);
  const plan::Plan& shown_plan = changed == nullptr ? planned.plan : changed->plan;
  report_conflicts_of(shown_plan, arguments.view.batches, planned.diagnostics);
  return finish(planned, written);
}

int run_sheet(const SheetArguments& arguments) {
  const bool compares = !arguments.changes.empty();
  const auto missing = [&](const plan::Plan& plan) {
    return report::nothing_matches(plan, arguments.view);
  };
  return run_on_book(arguments.book, office_misuse(arguments.result, compares), missing,
                     [&](PlannedBook& planned) { return show_sheet(arguments, planned); });
}

int run_sensitivity_of(const SheetArguments& arguments) {
  if (arguments.result.is_workbook()) {
    complain("--sensitivity is told as table, csv or json.");
    return exit_misuse;
  }
  const report::SheetView& view = arguments.view;
  if (view.batches.size() > 1 || !view.patterns.empty() || !arguments.changes.empty()) {
    complain("--sensitivity goes with one --batch or none, and without --cells and --set.");
    return exit_misuse;
  }
  const auto batch = view.batches.empty() ? std::nullopt : std::optional(view.batches.front());
  return run_sensitivity(arguments.book, batch, arguments.sensitivity, arguments.result);
}

}  // namespace

Command add_sheet(CLI::App& program) {
  const auto arguments = std::make_shared<SheetArguments>();
  CLI::App* words = program.add_subcommand(
      "sheet", "The values of every batch: inputs, dates and numbers, stage by stage");
  arguments->book.add_to(*words);
  add_repeated(*words, "--batch", arguments->view.batches, "ID",
               "Only this batch; may stand several times");
  add_repeated(*words, "--cells", arguments->view.patterns, "PATTERN",
               "Only values with such a name, * for any letters and ? for one: rooting.*, "
               "*.plants; may stand several times");
  add_changes(*words, arguments->changes);
  words
      ->add_option("--sensitivity", arguments->sensitivity,
                   "What moves this value, such as sowing.plants, and how far inputs may go")
      ->type_name("CELL");
  arguments->result.add_to(*words, {spreadsheet_format});
  return {words, [arguments] {
            return arguments->sensitivity.empty() ? run_sheet(*arguments)
                                                  : run_sensitivity_of(*arguments);
          }};
}

}  // namespace budwood::app
