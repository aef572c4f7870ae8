#include "app/commands/office_command.hpp"

#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <ostream>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "files/read.hpp"
#include "office/calendar/calendar.hpp"
#include "units/units.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

/// Seconds; nothing when it is no time from nothing to a year.
std::optional<double> alarm_seconds(const std::string& text) {
  constexpr double longest = 366.0 * 86400;
  const auto parsed = units::parse_quantity(text);
  if (!parsed || !parsed->has_unit || parsed->unit.dimension != units::time) return std::nullopt;
  const double seconds = parsed->base();
  if (!(seconds >= 0 && seconds <= longest)) return std::nullopt;
  return seconds;
}

std::string check_event(const std::string& word) {
  if (word == "order" || word == "crew") return {};
  return "`" + word + "` is nothing to make events of; choose order or crew.";
}

/// The events of a calendar file; nothing when it cannot be relied on, and then that has been said.
std::optional<office::Events> read_events(const std::string& path, const PlannedBook& planned,
                                          const std::string& then) {
  constexpr std::size_t largest = 256U << 20U;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source* source = files::read_text(path, sources, diagnostics, largest);
  report_problems(diagnostics);
  if (source == nullptr) return std::nullopt;
  auto events = office::read_calendar(std::string(source->text()), planned.book->site.name.value);
  if (!events) {
    complain("`" + path + "` is not a calendar that Budwood wrote for this site" + then);
  }
  return events;
}

/// The calendar that was written before, if there is one: the one that is named, else the one that
/// will be replaced. What will be replaced has to be a calendar of ours in any case. Nothing when
/// it cannot be relied on; then that has been printed.
std::optional<office::Events> events_before(const CalendarArguments& arguments,
                                            const ResultArguments& result,
                                            const PlannedBook& planned) {
  std::error_code failure;
  std::optional<office::Events> before = office::Events{};
  if (!result.file.empty() && fs::is_regular_file(result.file, failure)) {
    before = read_events(result.file, planned,
                         ", and is left as it is: choose another file, or remove it first.");
  }
  if (before && !arguments.after.empty()) before = read_events(arguments.after, planned, ".");
  return before;
}

/// Whether every batch of the book has its orders in the plan.
bool is_whole(const PlannedBook& planned) {
  return !planned.diagnostics.has_errors() &&
         std::all_of(planned.plan.batches.begin(), planned.plan.batches.end(),
                     [](const plan::BatchPlan& batch) { return batch.dated; });
}

/// Nothing was written when it gives nothing.
std::optional<std::size_t> write_calendar(const CalendarArguments& arguments,
                                          const ResultArguments& result,
                                          const report::Filter& filter,
                                          const PlannedBook& planned) {
  const auto before = events_before(arguments, result, planned);
  if (!before) return std::nullopt;
  if (!before->empty() && !is_whole(planned)) {
    complain(
        "No calendar was written: not every batch has a plan, and the work of the others would be "
        "told as cancelled. Mend what is wrong first.");
    return std::nullopt;
  }
  office::CalendarView view;
  if (arguments.by == "crew") view.event = office::EventOf::crew;
  if (!arguments.alarm.empty()) view.alarm = alarm_seconds(arguments.alarm);
  const office::Calendar calendar = office::write_calendar(planned.plan, filter, view, *before);
  const Writer write = [&](std::ostream& out) { out << calendar.text; };
  const bool written =
      result.file.empty() ? write_result({}, write) : replace_file(result.file, write);
  if (!written) return std::nullopt;
  return calendar.found;
}

std::optional<std::size_t> write_plan_workbook(const ResultArguments& result,
                                               const report::Filter& filter, bool settings,
                                               const plan::Plan& plan) {
  const office::Workbook workbook =
      settings ? office::settings_workbook(plan, filter) : office::orders_workbook(plan, filter);
  if (!write_workbook(result, workbook)) return std::nullopt;
  return workbook.found;
}

}  // namespace

void CalendarArguments::add_to(CLI::App& command) {
  command
      .add_option("--by", by,
                  "In a calendar: an event for each order (the default), or for each day of a crew")
      ->type_name("WHAT")
      ->check(check_event);
  command
      .add_option("--after", after,
                  "The calendar written before, so that events that moved or are gone are told as "
                  "such; default: the one that --out replaces")
      ->type_name("FILE");
  command
      .add_option("--alarm", alarm,
                  "In a calendar: remind so long before the day, such as \"1 day\"")
      ->type_name("TIME");
}

std::string office_misuse(const ResultArguments& result, bool compares) {
  if (!result.is_calendar() && !result.is_workbook()) return "";
  if (compares) {
    return "What changes is told as table, csv or json; " + result.format +
           " is for a plan as it is.";
  }
  if (result.is_workbook() && result.file.empty() && isatty(STDOUT_FILENO) != 0) {
    return "A spreadsheet cannot be shown on a terminal: add --out FILE.xlsx.";
  }
  return "";
}

std::string calendar_misuse(const CalendarArguments& arguments, const ResultArguments& result,
                            const report::Filter& filter, bool settings) {
  if (!result.is_calendar()) {
    const bool given =
        !arguments.by.empty() || !arguments.after.empty() || !arguments.alarm.empty();
    return given ? "--by, --after and --alarm are for calendars: add --format ics." : "";
  }
  if (settings) return "A calendar holds orders: leave --settings out.";
  if (arguments.by == "crew" && (filter.batch || filter.room)) {
    return "--by crew tells the whole day of a crew: leave --batch and --room out.";
  }
  if (!arguments.alarm.empty() && !alarm_seconds(arguments.alarm)) {
    return "--alarm wants a time of at most a year, such as \"1 day\" or \"6 h\".";
  }
  return "";
}

bool write_workbook(const ResultArguments& result, const office::Workbook& workbook) {
  if (!workbook.problem.empty()) {
    complain(workbook.problem);
    return false;
  }
  return write_result(result.file, [&](std::ostream& out) { out << workbook.bytes; });
}

int run_plan_in_office(const CalendarArguments& calendar, const ResultArguments& result,
                       const report::Filter& filter, bool settings, PlannedBook& planned) {
  const std::optional<std::size_t> found =
      result.is_calendar() ? write_calendar(calendar, result, filter, planned)
                           : write_plan_workbook(result, filter, settings, planned.plan);
  report_conflicts(planned.plan, filter.batch, planned.diagnostics);
  if (!settings) report_notes(planned.plan, filter.batch, planned.diagnostics);
  const bool faults = report_problems(planned);
  if (found && *found == 0) {
    complain(report::nothing_found(filter, settings ? "settings" : "work orders"));
  }
  return found && !faults ? exit_fine : exit_faults;
}

}  // namespace budwood::app
