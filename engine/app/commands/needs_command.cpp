#include <CLI/CLI.hpp>
#include <algorithm>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/commands/office_command.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"

namespace budwood::app {

namespace {

struct NeedsArguments {
  BookArguments book;
  std::string by = "all";
  bool costs = false;
  bool explain = false;
  bool lots = false;
  bool mothers = false;
  bool finished = false;
  bool deliveries = false;
  std::vector<std::string> changes;
  ResultArguments result;
};

/// The words of --by, in the order of `plan::Grouping`.
const std::vector<std::string> groupings = {"all", "batch", "day", "week"};

std::string check_grouping(const std::string& word) {
  if (std::find(groupings.begin(), groupings.end(), word) != groupings.end()) return {};
  return "`" + word + "` is nothing to add up by; choose " + text::list_words(groupings, "or") +
         ".";
}

report::NeedsView view_of(const NeedsArguments& arguments) {
  const auto place = std::find(groupings.begin(), groupings.end(), arguments.by);
  report::NeedsView view;
  view.by = static_cast<plan::Grouping>(place - groupings.begin());
  view.costs = arguments.costs;
  view.explain = arguments.explain;
  view.lots = arguments.lots;
  view.mothers = arguments.mothers;
  view.finished = arguments.finished;
  view.deliveries = arguments.deliveries;
  return view;
}

/// What words on the command line mean together: "" when they fit.
std::string misuse_of(const NeedsArguments& arguments, const report::NeedsView& view) {
  const bool compares = !arguments.changes.empty();
  if (std::string misuse = office_misuse(arguments.result, compares); !misuse.empty()) {
    return misuse;
  }
  const bool grouped = view.by != plan::Grouping::all;
  if (compares) {
    const bool more = grouped || view.explain || view.stands_alone();
    return more ? "--set compares totals: leave --by, --explain, --lots, --mothers, "
                  "--finished and --deliveries out."
                : "";
  }
  const bool alone = view.stands_alone();
  if (alone && (grouped || view.costs || view.explain)) {
    return "--lots, --mothers, --finished and --deliveries stand for themselves: leave --by, "
           "--costs and --explain out.";
  }
  const int tables = grouped + view.costs + view.explain + view.lots + view.mothers +
                     view.finished + view.deliveries;
  if (arguments.result.chosen() != report::Format::csv || tables <= 1) return "";
  return alone ? "CSV holds one table: choose one of --lots, --mothers, --finished and "
                 "--deliveries."
               : "CSV holds one table: choose one of --by, --costs and --explain.";
}

/// Tries the changes out and writes what they change.
int run_what_if(const NeedsArguments& arguments, PlannedBook& planned,
                std::optional<calendar::Day> today) {
  const auto changed = try_changes(planned, arguments.changes);
  if (changed == nullptr) return exit_misuse;
  const report::Comparison both{planned.plan, changed->plan, changed->what_if.changes};
  const plan::Needs before = plan::total_needs(planned.plan, today);
  const plan::Needs after = plan::total_needs(changed->plan, today);
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    report::write_needs_differences(out, both, before, after, arguments.costs,
                                    arguments.result.chosen(),
                                    output_style(!arguments.result.file.empty()));
  });
  if (today) plan::report_late(changed->plan, after, *today, planned.diagnostics);
  report_conflicts(changed->plan, {}, planned.diagnostics);
  return finish(planned, written);
}

int run_as_it_is(const NeedsArguments& arguments, const report::NeedsView& view,
                 PlannedBook& planned, std::optional<calendar::Day> today) {
  const plan::Needs needs = plan::total_needs(planned.plan, today);
  const auto write = [&](std::ostream& out) {
    report::write_needs(out, planned.plan, needs, view, arguments.result.chosen(),
                        output_style(!arguments.result.file.empty()));
  };
  const bool written =
      arguments.result.is_workbook()
          ? write_workbook(arguments.result, office::needs_workbook(planned.plan, needs, view))
          : write_result(arguments.result.file, write);
  if (today) plan::report_late(planned.plan, needs, *today, planned.diagnostics);
  report_conflicts(planned.plan, {}, planned.diagnostics);
  return finish(planned, written);
}

int run_needs(const NeedsArguments& arguments) {
  const report::NeedsView view = view_of(arguments);
  return run_on_book(arguments.book, misuse_of(arguments, view), [&](PlannedBook& planned) {
    const std::optional<calendar::Day> today = planned.book->today;
    return arguments.changes.empty() ? run_as_it_is(arguments, view, planned, today)
                                     : run_what_if(arguments, planned, today);
  });
}

}  // namespace

Command add_needs(CLI::App& program) {
  const auto arguments = std::make_shared<NeedsArguments>();
  CLI::App* words = program.add_subcommand(
      "needs", "Supplies and person-hours that a book needs, what to buy, and what batches cost");
  arguments->book.add_to(*words);
  words->add_option("--by", arguments->by, "Add up by all (the default), batch, day or week")
      ->type_name("WHAT")
      ->check(check_grouping);
  words->add_flag("--costs", arguments->costs, "What batches cost in supplies and labour");
  words->add_flag("--explain", arguments->explain, "The orders and rules behind each supply");
  words->add_flag("--lots", arguments->lots, "Only the lots: what is taken of each, what is left");
  words->add_flag("--mothers", arguments->mothers,
                  "Only the mother plants: what they give and batches take, week by week");
  words->add_flag("--finished", arguments->finished,
                  "Only plants that are ready already: which batches take them, what is left");
  words->add_flag("--deliveries", arguments->deliveries,
                  "Only what to buy: by when, of whom, how much, supplier by supplier");
  add_changes(*words, arguments->changes);
  arguments->result.add_to(*words, {spreadsheet_format});
  return {words, [arguments] { return run_needs(*arguments); }};
}

}  // namespace budwood::app
