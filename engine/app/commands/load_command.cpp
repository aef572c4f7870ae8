#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/commands/level_command.hpp"
#include "app/commands/office_command.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "pictures/pictures.hpp"
#include "plan/rooms/load.hpp"
#include "report/load/load_report.hpp"
#include "report/load/load_view.hpp"

namespace budwood::app {

namespace {

struct LoadArguments {
  BookArguments book;
  FilterArguments part;
  std::vector<std::string> changes;
  LevelArguments level;
  ResultArguments result;
};

/// What words on the command line mean together: "" when they fit.
std::string misuse_of(const LoadArguments& arguments, const report::Filter& filter) {
  if (std::string misuse = arguments.part.misuse(); !misuse.empty()) return misuse;
  if (std::string misuse = misuse_of(arguments.level); !misuse.empty()) return misuse;
  if (arguments.level.level && !arguments.changes.empty()) {
    return "--level and --set do not go together: choose one.";
  }
  if (std::string misuse = office_misuse(arguments.result, !arguments.changes.empty());
      !misuse.empty()) {
    return misuse;
  }
  if (filter.room && filter.crew) return "--room shows one room and --crew one crew: choose one.";
  return "";
}

/// Conflicts of the plan but those that the load itself tells: work that is too much for a crew is
/// an overload of the crew.
void report_other_conflicts(plan::Plan& plan, const report::Filter& filter,
                            text::Diagnostics& diagnostics) {
  std::erase_if(plan.conflicts, [](const auto& one) {
    return one.code == "room-full" || one.code == "too-much-work";
  });
  report_conflicts(plan, filter.batch, diagnostics);
}

/// Writes a load, and says whether all that is shown fits.
bool write(std::ostream& out, const LoadArguments& arguments, const plan::Plan& plan,
           const plan::Load& load, const report::Filter& filter) {
  if (arguments.result.is_picture()) return pictures::write_load_picture(out, plan, load, filter);
  return report::write_load(out, plan, load, filter, arguments.result.chosen(),
                            output_style(!arguments.result.file.empty()));
}

int show_load(const LoadArguments& arguments, const report::Filter& filter, PlannedBook& planned) {
  std::unique_ptr<ChangedPlan> changed;
  if (!arguments.changes.empty()) {
    changed = try_changes(planned, arguments.changes);
    if (changed == nullptr) return exit_misuse;
  }
  std::optional<LevelledBook> levelled;
  if (arguments.level.level) {
    text::Diagnostics again;  // what is wrong with the book was found already
    levelled.emplace(planned, arguments.level, again);
  }
  plan::Plan& plan = changed ? changed->plan : levelled ? levelled->plan : planned.plan;
  const plan::Load load = plan::load_of(plan);
  bool fits = true;
  const auto write_shown = [&](std::ostream& out) {
    if (!changed || arguments.result.is_picture()) {
      fits = write(out, arguments, plan, load, filter);
      return;
    }
    const report::Comparison both{planned.plan, plan, changed->what_if.changes};
    fits = report::write_load_differences(out, both, plan::load_of(planned.plan), load, filter,
                                          arguments.result.chosen(),
                                          output_style(!arguments.result.file.empty()));
  };
  bool written = false;
  if (arguments.result.is_workbook()) {
    fits = report::shown_load(plan, load, filter).fits();
    written = write_workbook(arguments.result, office::load_workbook(plan, load, filter));
  } else {
    written = write_result(arguments.result.file, write_shown);
  }
  report_other_conflicts(plan, filter, planned.diagnostics);
  return finish(planned, written && fits);
}

int run_load(const LoadArguments& arguments) {
  const report::Filter filter = arguments.part.filter();
  const auto missing = [&](const plan::Plan& plan) { return report::unknown_name(plan, filter); };
  return run_on_book(arguments.book, misuse_of(arguments, filter), missing,
                     [&](PlannedBook& planned) { return show_load(arguments, filter, planned); });
}

}  // namespace

Command add_load(CLI::App& program) {
  const auto arguments = std::make_shared<LoadArguments>();
  CLI::App* words = program.add_subcommand(
      "load", "Rooms and crews day by day against what they hold, and where that is too little");
  arguments->book.add_to(*words);
  words->add_option("--room", arguments->part.room, "Only this room")->type_name("ROOM");
  words->add_option("--crew", arguments->part.crew, "Only this crew")->type_name("CREW");
  words
      ->add_option("--batch", arguments->part.batch,
                   "Only the rooms and crews that this batch uses")
      ->type_name("ID");
  add_date(*words, "--from", arguments->part.from, "Only this day and later ones");
  add_date(*words, "--to", arguments->part.to, "Only this day and earlier ones");
  add_changes(*words, arguments->changes);
  arguments->level.add_to(*words, "Show what it comes to when the season is levelled");
  arguments->result.add_to(*words, {{"svg", "for a picture"}, spreadsheet_format});
  return {words, [arguments] { return run_load(*arguments); }};
}

}  // namespace budwood::app
