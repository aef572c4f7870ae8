#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"

namespace budwood::app {

namespace {

struct WhyArguments {
  std::string folder = ".";
  std::string batch, cell, file;
  bool all = false;
};

const plan::BatchPlan* find_batch(const plan::Plan& plan, const std::string& id) {
  std::vector<std::string> ids;
  for (const plan::BatchPlan& one : plan.batches) {
    ids.push_back(plan.facts_of(one).id.value);
    if (ids.back() == id) return &one;
  }
  const std::string advice = text::did_you_mean(id, ids);
  complain("There is no batch `" + id + "` with a plan." + (advice.empty() ? "" : " " + advice));
  return nullptr;
}

std::optional<sheet::CellId> find_cell(const sheet::Template& t, const std::string& name) {
  const sheet::CellId found = t.find(name);
  if (found != sheet::no_cell) return found;
  std::vector<std::string> names;
  for (const sheet::Cell& cell : t.cells) names.push_back(cell.name);
  const std::string advice = text::did_you_mean(name, names);
  complain("`" + t.protocol.name + "` has no value `" + name + "`. " +
           (advice.empty() ? "Values are such as `batch.ready`, `STAGE.start`, `STAGE.plants`."
                           : advice));
  return std::nullopt;
}

int run_why(const WhyArguments& arguments) {
  PlannedBook planned(arguments.folder);
  if (!planned.book) {
    report_problems(planned.diagnostics);
    return exit_faults;
  }
  const plan::BatchPlan* batch = find_batch(planned.plan, arguments.batch);
  if (batch == nullptr) {
    report_problems(planned.diagnostics);
    return exit_misuse;
  }
  const auto cell = find_cell(planned.plan.sheet_of(*batch).layout(), arguments.cell);
  if (!cell) return exit_misuse;
  const bool written = write_result(arguments.file, [&](std::ostream& out) {
    report::write_why(out, planned.plan, *batch, *cell, arguments.all,
                      output_style(!arguments.file.empty()));
  });
  report_conflicts(planned.plan, arguments.batch, planned.diagnostics);
  const bool faults = report_problems(planned.diagnostics);
  return written && !faults ? exit_fine : exit_faults;
}

}  // namespace

Command add_why(CLI::App& program) {
  const auto arguments = std::make_shared<WhyArguments>();
  CLI::App* words = program.add_subcommand(
      "why", "How a date or number of a batch came about, down to the lines");
  words->add_option("BOOK", arguments->folder, "The folder of the book")->type_name("")->required();
  words->add_option("BATCH", arguments->batch, "The batch")->type_name("")->required();
  words->add_option("CELL", arguments->cell, "What is asked for, such as sowing.start")
      ->type_name("")
      ->required();
  words->add_flag("--all", arguments->all, "Every step, not the nearest alone");
  words->add_option("--out", arguments->file, "Write to this file")->type_name("FILE");
  return {words, [arguments] { return run_why(*arguments); }};
}

}  // namespace budwood::app
