#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"

namespace budwood::app {

namespace {

struct NeedsArguments {
  std::string folder = ".";
  ResultArguments result;
};

int run_needs(const NeedsArguments& arguments) {
  PlannedBook planned(arguments.folder);
  if (!planned.book) {
    report_problems(planned.diagnostics);
    return exit_faults;
  }
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    report::write_needs(out, planned.plan, arguments.result.chosen(),
                        output_style(!arguments.result.file.empty()));
  });
  report_conflicts(planned.plan, {}, planned.diagnostics);
  const bool faults = report_problems(planned.diagnostics);
  return written && !faults ? exit_fine : exit_faults;
}

}  // namespace

Command add_needs(CLI::App& program) {
  const auto arguments = std::make_shared<NeedsArguments>();
  CLI::App* words =
      program.add_subcommand("needs", "Supplies and person-hours that a book needs in all");
  add_book(*words, arguments->folder);
  arguments->result.add_to(*words);
  return {words, [arguments] { return run_needs(*arguments); }};
}

}  // namespace budwood::app
