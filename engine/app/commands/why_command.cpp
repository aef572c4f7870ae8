#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/names.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "report/why/why.hpp"
#include "sheet/template/cell_names.hpp"

namespace budwood::app {

namespace {

struct WhyArguments {
  BookArguments book;
  std::string batch, cell, file;
  bool all = false;
  bool uses = false;
};

/// `start` is the day on which the batch is started: the start of its first stage.
sheet::CellId first_start(const sheet::Row& row) {
  sheet::CellId first = sheet::no_cell;
  for (const sheet::StageCells& stage : row.layout().stages) {
    if (first == sheet::no_cell || row.value(stage.start) < row.value(first)) first = stage.start;
  }
  return first;
}

std::optional<sheet::CellId> find_cell(const plan::Plan& plan, const plan::BatchPlan& batch,
                                       const std::string& name) {
  const sheet::Template& t = plan.sheet_of(batch).layout();
  const sheet::CellId found = sheet::find_cell(t, name);
  if (found != sheet::no_cell) return found;
  if (name == "start" || name == "batch.start") return first_start(plan.row_of(batch));
  complain_of_cell(t, name);
  return std::nullopt;
}

int tell_why(const WhyArguments& arguments, PlannedBook& planned) {
  const plan::BatchPlan* batch = find_batch(planned.plan, arguments.batch);
  if (batch == nullptr) {
    report_problems(planned);
    return exit_misuse;
  }
  const auto cell = find_cell(planned.plan, *batch, arguments.cell);
  if (!cell) return exit_misuse;
  const bool written = write_result(arguments.file, [&](std::ostream& out) {
    const auto tell = arguments.uses ? report::write_uses : report::write_why;
    tell(out, planned.plan, *batch, *cell, arguments.all, output_style(!arguments.file.empty()));
  });
  report_conflicts(planned.plan, arguments.batch, planned.diagnostics);
  return finish(planned, written);
}

}  // namespace

Command add_why(CLI::App& program) {
  const auto arguments = std::make_shared<WhyArguments>();
  CLI::App* words = program.add_subcommand(
      "why", "How a date or number of a batch came about, down to the lines");
  words->add_option("BOOK", arguments->book.folder, "The folder of the book")
      ->type_name("")
      ->required();
  arguments->book.add_today_to(*words);
  words->add_option("BATCH", arguments->batch, "The batch")->type_name("")->required();
  words->add_option("CELL", arguments->cell, "What is asked for, such as sowing.start")
      ->type_name("")
      ->required();
  words->add_flag("--uses", arguments->uses, "What rests on it, instead of what it rests on");
  words->add_flag("--all", arguments->all, "Every step, not the nearest alone");
  words->add_option("--out", arguments->file, "Write to this file")->type_name("FILE");
  return {words, [arguments] {
            return run_on_book(arguments->book, "",
                               [&](PlannedBook& planned) { return tell_why(*arguments, planned); });
          }};
}

}  // namespace budwood::app
