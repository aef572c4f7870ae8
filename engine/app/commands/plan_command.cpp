#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/commands/level_command.hpp"
#include "app/commands/office_command.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/plan_picture.hpp"
#include "app/planned_book.hpp"
#include "report/demand/demand_report.hpp"
#include "report/record/record_list.hpp"

namespace budwood::app {

namespace {

struct PlanArguments {
  BookArguments book;
  FilterArguments part;
  bool settings = false;
  bool returns = false;
  bool demand = false;
  std::vector<std::string> changes;
  LevelArguments level;
  CalendarArguments calendar;
  ResultArguments result;

  PlanPicture picture() const { return {part.filter(), settings}; }
};

/// What a picture, or the climate day by day, does not go with: "" when all fits.
std::string shape_misuse(const PlanArguments& arguments, const report::Filter& filter) {
  const bool picture = arguments.result.is_picture();
  if (picture && !arguments.level.level) {
    if (std::string misuse = arguments.picture().misuse(); !misuse.empty()) return misuse;
  }
  if (!arguments.settings) return "";
  if (filter.crew) {
    return "--settings tells of the climate, which is for no crew: leave --crew out.";
  }
  const bool compares = !arguments.changes.empty() && !picture;
  return compares ? "--set compares work orders: leave --settings out." : "";
}

/// A sheet to fill in holds work orders as they are.
std::string returns_misuse(const PlanArguments& arguments) {
  if (arguments.settings || !arguments.changes.empty() || arguments.level.level) {
    return "--returns is of the plan as it is: leave --settings, --set and --level out.";
  }
  const bool sheet =
      arguments.result.is_workbook() || arguments.result.chosen() == report::Format::csv;
  return sheet ? "" : "--returns writes a sheet to fill in: add --format xlsx or --format csv.";
}

/// What words on the command line mean together: "" when they fit.
std::string misuse_of(const PlanArguments& arguments, const report::Filter& filter) {
  if (std::string misuse = arguments.part.misuse(); !misuse.empty()) return misuse;
  if (std::string misuse = misuse_of(arguments.level); !misuse.empty()) return misuse;
  const bool changes = arguments.level.level || !arguments.changes.empty();
  if (std::string misuse = office_misuse(arguments.result, changes); !misuse.empty()) {
    return misuse;
  }
  if (std::string misuse =
          calendar_misuse(arguments.calendar, arguments.result, filter, arguments.settings);
      !misuse.empty()) {
    return misuse;
  }
  const bool narrowed = filter.batch || arguments.part.all || filter.room || filter.crew ||
                        filter.from || filter.to || arguments.settings ||
                        !arguments.changes.empty();
  if (arguments.returns) {
    if (std::string misuse = returns_misuse(arguments); !misuse.empty()) return misuse;
  }
  if (arguments.demand && (arguments.settings || arguments.returns || changes)) {
    return "--demand is of the plan as it is: leave --settings, --returns, --set and --level out.";
  }
  if (arguments.demand && arguments.result.is_picture()) return "--demand has no picture.";
  if (arguments.demand && arguments.result.is_calendar()) return "--demand has no calendar.";
  if (arguments.level.level && narrowed) {
    return "--level is for the whole book: leave the other choices out.";
  }
  return shape_misuse(arguments, filter);
}

/// Tries the changes out and writes what they change; a picture shows what then is.
int run_what_if(const PlanArguments& arguments, const report::Filter& filter,
                PlannedBook& planned) {
  const auto changed = try_changes(planned, arguments.changes);
  if (changed == nullptr) return exit_misuse;
  const report::Comparison both{planned.plan, changed->plan, changed->what_if.changes};
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    if (arguments.result.is_picture()) {
      arguments.picture().draw(out, changed->plan);
      return;
    }
    report::write_plan_differences(out, both, filter, arguments.result.chosen(),
                                   output_style(!arguments.result.file.empty()));
  });
  report_conflicts(changed->plan, filter.batch, planned.diagnostics);
  return finish(planned, written);
}

int run_as_it_is(const PlanArguments& arguments, const report::Filter& filter,
                 PlannedBook& planned) {
  const report::Format format = arguments.result.chosen();
  std::size_t found = 0;
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    if (arguments.result.is_picture()) {
      found = arguments.picture().draw(out, planned.plan) ? 1 : 0;
      return;
    }
    if (arguments.demand) {
      found = report::write_demand(out, planned.plan, filter, format,
                                   output_style(!arguments.result.file.empty()));
      return;
    }
    const auto write = arguments.settings ? report::write_settings : report::write_orders;
    found = write(out, planned.plan, filter, format, output_style(!arguments.result.file.empty()));
  });
  report_conflicts(planned.plan, filter.batch, planned.diagnostics);
  // The other formats have a place for notes; they are about orders.
  if (format == report::Format::csv && !arguments.settings && !arguments.demand) {
    report_notes(planned.plan, filter.batch, planned.diagnostics);
  }
  const bool faults = report_problems(planned);
  const bool says_so = format == report::Format::table && !arguments.result.is_picture();
  if (written && found == 0 && arguments.demand) {
    if (!says_so) complain("No batch says `demand` or `promised`.");
  } else if (written && found == 0 && !says_so) {
    const char* orders = arguments.result.is_picture() ? "batches with dates" : "work orders";
    complain(report::nothing_found(filter, arguments.settings ? "settings" : orders));
  }
  return written && !faults ? exit_fine : exit_faults;
}

/// Writes the sheet that comes back filled in.
int run_returns(const PlanArguments& arguments, const report::Filter& filter,
                PlannedBook& planned) {
  std::size_t found = 0;
  bool written = false;
  if (arguments.result.is_workbook()) {
    const office::Workbook workbook = office::returns_workbook(planned.plan, filter);
    found = workbook.found;
    written = write_workbook(arguments.result, workbook);
  } else {
    written = write_result(arguments.result.file, [&](std::ostream& out) {
      found = report::write_returns(out, planned.plan, filter);
    });
  }
  report_conflicts(planned.plan, filter.batch, planned.diagnostics);
  const bool faults = report_problems(planned);
  if (written && found == 0) complain(report::nothing_found(filter));
  return written && !faults ? exit_fine : exit_faults;
}

int run_plan(const PlanArguments& arguments) {
  report::Filter filter = arguments.part.filter();
  // A calendar that is carried on, or a spreadsheet, loses nothing that was in it.
  if (arguments.result.is_calendar() || arguments.result.is_workbook()) filter.history = true;
  const auto missing = [&](const plan::Plan& plan) { return report::unknown_name(plan, filter); };
  return run_on_book(arguments.book, misuse_of(arguments, filter), missing,
                     [&](PlannedBook& planned) {
                       if (arguments.level.level) {
                         return run_level(arguments.level, arguments.result, planned);
                       }
                       if (!arguments.changes.empty())
                         return run_what_if(arguments, filter, planned);
                       if (arguments.returns) return run_returns(arguments, filter, planned);
                       if (arguments.result.is_calendar() || arguments.result.is_workbook()) {
                         return run_plan_in_office(arguments.calendar, arguments.result, filter,
                                                   arguments.settings, planned);
                       }
                       return run_as_it_is(arguments, filter, planned);
                     });
}

}  // namespace

Command add_plan(CLI::App& program) {
  const auto arguments = std::make_shared<PlanArguments>();
  CLI::App* words = program.add_subcommand(
      "plan", "Dated work orders for every batch of a book, with what they need");
  arguments->book.add_to(*words);
  words->add_option("--batch", arguments->part.batch, "Only this batch")->type_name("ID");
  add_date(*words, "--from", arguments->part.from, "Only work on this day or later");
  add_date(*words, "--to", arguments->part.to, "Only work on this day or earlier");
  words->add_option("--room", arguments->part.room, "Only work in this room")->type_name("ROOM");
  words->add_option("--crew", arguments->part.crew, "Only work of this crew")->type_name("CREW");
  words->add_flag(
      "--all", arguments->part.all,
      "Batches that are over too: those that were given up, and those of which the last "
      "plants are gone");
  words->add_flag("--settings", arguments->settings,
                  "Instead of orders what is set day by day, and what the plants feel of it");
  words->add_flag("--returns", arguments->returns,
                  "A sheet to fill in with what was done, for `budwood record BOOK --read`; with "
                  "--format xlsx or csv");
  words->add_flag("--demand", arguments->demand,
                  "Only what is wanted and promised: the number that is best on average, and what "
                  "is there when");
  add_changes(*words, arguments->changes);
  arguments->level.add_to(
      *words,
      "Move batches within what they allow so that rooms and crews do, and show what moves");
  arguments->level.add_keep(*words);
  arguments->calendar.add_to(*words);
  arguments->result.add_to(*words,
                           {{"svg", "for a picture of the season, of the batch or of its settings"},
                            spreadsheet_format,
                            calendar_format});
  return {words, [arguments] { return run_plan(*arguments); }};
}

}  // namespace budwood::app
