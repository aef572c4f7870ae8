#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/names.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "app/protocol_choice.hpp"
#include "graph/graph.hpp"
#include "paper/paper.hpp"
#include "plan/needs/needs.hpp"
#include "report/formats/wording.hpp"
#include "report/report.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/trial.hpp"

namespace budwood::app {

namespace {

struct PrintArguments {
  BookArguments book;
  FilterArguments part;
  std::string by, method, protocol, labels, history, page, file;
  int edition = 0;
  bool season = false;
  bool deliveries = false;
  std::size_t skip = 0;
  std::size_t sheet = 1;
  std::string format = "html";

  bool is_method() const { return !method.empty() || !protocol.empty() || edition > 0; }
  paper::PageSize size() const {
    if (page == "a4") return paper::PageSize::a4;
    return page == "letter" ? paper::PageSize::letter : paper::PageSize::printers;
  }
  paper::Grouping grouping() const {
    if (by == "week") return paper::Grouping::week;
    if (by == "crew") return paper::Grouping::crew;
    if (by == "room") return paper::Grouping::room;
    return by == "batch" ? paper::Grouping::batch : paper::Grouping::day;
  }
};

/// What is wrong with what a method is printed from; "" when nothing is.
std::string misuse_of_method(const PrintArguments& arguments, const report::Filter& filter) {
  if (filter.batch || filter.narrows_orders() || !arguments.book.today.empty()) {
    return "A method has no batches and no dates: leave --batch, --room, --crew, --from, --to and "
           "--today out.";
  }
  return arguments.edition > 0 && arguments.protocol.empty()
             ? "--edition says which of several: name the method with --protocol."
             : "";
}

/// What words on the command line mean together: "" when they fit.
std::string misuse_of(const PrintArguments& arguments, const report::Filter& filter) {
  if (std::string misuse = arguments.part.misuse(); !misuse.empty()) return misuse;
  const int kinds = (arguments.by.empty() ? 0 : 1) + (arguments.is_method() ? 1 : 0) +
                    (arguments.season ? 1 : 0) + (arguments.deliveries ? 1 : 0) +
                    (arguments.labels.empty() ? 0 : 1) + (arguments.history.empty() ? 0 : 1);
  if (kinds > 1) {
    return "Print one thing at a time: work sheets (--by), a method (--method, --protocol), the "
           "season (--season), what to buy (--deliveries), labels (--labels) or what became of a "
           "batch (--history).";
  }
  if (arguments.deliveries && (filter.batch || filter.narrows_orders())) {
    return "A shopping list is for all batches: leave --batch, --room, --crew, --from and --to "
           "out.";
  }
  if (arguments.is_method()) return misuse_of_method(arguments, filter);
  if (!arguments.history.empty() && (filter.batch || filter.narrows_orders())) {
    return "A history is of one batch, and whole: leave --batch, --room, --crew, --from and --to "
           "out.";
  }
  if (!arguments.labels.empty()) {
    if (!arguments.page.empty()) {
      return "Labels have the page that `labels:` in site.yaml says: leave --page out.";
    }
    return "";
  }
  if (arguments.format == "svg") return "--format svg is for labels.";
  if (arguments.skip > 0) return "--skip is for labels: it says how many are gone from the sheet.";
  return arguments.sheet > 1 ? "--sheet is for labels as svg." : "";
}

int print_method(const PrintArguments& arguments) {
  const std::string& path = arguments.method.empty() ? arguments.book.folder : arguments.method;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto protocols = read_path(path, sources, diagnostics).protocols;
  const std::string edition =
      arguments.edition > 0 ? " edition " + std::to_string(arguments.edition) : "";
  int status = exit_fine;
  const language::Protocol* protocol =
      find_protocol(protocols, arguments.protocol + edition, path, diagnostics, status);
  if (protocol == nullptr) return status;
  // Tells of mistakes; what cannot be worked through has some.
  const auto t = sheet::compile(*protocol, diagnostics);
  if (t != nullptr) sheet::try_out(t, diagnostics);
  if (!diagnostics.has_errors() && t != nullptr) graph::make_graph(t, diagnostics);
  bool whole = !diagnostics.has_errors();
  whole = whole && write_result(arguments.file, [&](std::ostream& out) {
            paper::write_method(out, *protocol, {arguments.size(), protocol->fingerprint});
          });
  const bool faults = report_problems(diagnostics);
  return whole && !faults ? exit_fine : exit_faults;
}

/// The sheet of labels that the site names, else the usual one, which a note tells.
book::LabelSheet label_sheet(const book::Site& site, text::Diagnostics& diagnostics) {
  if (site.labels) return *site.labels;
  diagnostics.note(
      "no-labels", {},
      "site.yaml does not say what sheets of labels there are; these are for A4 with 3 "
      "labels across and 8 down, each 64 mm by 34 mm.",
      "Write yours as `labels: {page: A4, across: 3, down: 8, width: 64 mm, height: "
      "34 mm}`.");
  return paper::usual_label_sheet();
}

void note_refused(const std::vector<std::string>& refused, paper::LabelKind kind,
                  text::Diagnostics& diagnostics) {
  if (refused.empty()) return;
  diagnostics.note("no-trays", {},
                   "Nothing in the protocol of " + text::list_words(refused) + " is counted in " +
                       (kind == paper::LabelKind::pots ? "pots" : "trays, crates or the like") +
                       ", so there are no labels for it.",
                   "`--labels batches` prints a label for each batch.");
}

/// Gives the exit status of what can go wrong with labels alone.
int print_labels(const PrintArguments& arguments, const report::Filter& filter,
                 PlannedBook& planned) {
  if (!planned.book->site.labels && planned.book->site.labels_span.source != nullptr) {
    return exit_faults;  // what is wrong with them is among the diagnostics
  }
  const auto kind = arguments.labels == "trays"  ? paper::LabelKind::trays
                    : arguments.labels == "pots" ? paper::LabelKind::pots
                                                 : paper::LabelKind::batches;
  std::vector<std::string> refused;
  const std::vector<paper::Label> labels = paper::labels_of(planned.plan, filter, kind, &refused);
  note_refused(refused, kind, planned.diagnostics);
  const paper::LabelPages pages{label_sheet(planned.book->site, planned.diagnostics),
                                arguments.skip};
  const auto a_sheet = static_cast<std::size_t>(pages.sheet.labels());
  if (pages.skip >= a_sheet) {
    complain("--skip " + std::to_string(pages.skip) +
             " leaves nothing of the first sheet, which has " + std::to_string(a_sheet) +
             " labels.");
    return exit_misuse;
  }
  const std::size_t sheets = paper::sheets_of(labels.size(), pages);
  const bool as_svg = arguments.format == "svg";
  if (as_svg && arguments.sheet > std::max<std::size_t>(1, sheets)) {
    complain("There is no sheet " + std::to_string(arguments.sheet) + ": these labels take " +
             report::counted(sheets, "sheet") + ".");
    return exit_misuse;
  }
  if (as_svg && sheets > 1) {
    planned.diagnostics.note(
        "sheets", {},
        "This is sheet " + std::to_string(arguments.sheet) + " of " + std::to_string(sheets) + ".",
        "--sheet writes another; --format html has all of them.");
  }
  if (labels.empty()) complain("There are no labels to print.");
  const bool written = write_result(arguments.file, [&](std::ostream& out) {
    if (as_svg) {
      paper::write_labels_svg(out, labels, pages, arguments.sheet);
    } else {
      paper::write_labels_html(out, labels, pages);
    }
  });
  return written ? exit_fine : exit_faults;
}

int print_deliveries(const PrintArguments& arguments, PlannedBook& planned) {
  const std::optional<calendar::Day> today = planned.book->today;
  const plan::Needs needs = plan::total_needs(planned.plan, today);
  std::size_t found = 0;
  const bool written = write_result(arguments.file, [&](std::ostream& out) {
    found = paper::write_deliveries(out, planned.plan, needs, arguments.size());
  });
  if (written && found == 0) complain("Nothing has to be bought.");
  if (today) plan::report_late(planned.plan, needs, *today, planned.diagnostics);
  return written ? exit_fine : exit_faults;
}

int print_sheets(const PrintArguments& arguments, const report::Filter& filter,
                 PlannedBook& planned) {
  const std::optional<calendar::Day> today = planned.book->today;
  std::size_t found = 0;
  const bool written = write_result(arguments.file, [&](std::ostream& out) {
    if (arguments.season) {
      found = paper::write_season(out, planned.plan, filter, arguments.size(), today) ? 1 : 0;
    } else {
      found = paper::write_work_sheets(out, planned.plan, filter,
                                       {arguments.grouping(), arguments.size(), today});
    }
  });
  if (written && found == 0) complain(report::nothing_found(filter));
  if (!arguments.season && arguments.grouping() != paper::Grouping::batch) {
    report_notes(planned.plan, filter.batch, planned.diagnostics);
  }
  return written ? exit_fine : exit_faults;
}

/// Gives the exit status of what can go wrong with it alone.
int print_history(const PrintArguments& arguments, PlannedBook& planned) {
  const plan::BatchPlan* batch = find_batch(planned.plan, arguments.history);
  if (batch == nullptr) return exit_misuse;
  const book::Batch& facts = planned.plan.facts_of(*batch);
  record::Query query;
  query.batches.push_back(facts.id.value);
  if (!facts.split_from.empty()) query.batches.push_back(facts.split_from);
  std::vector<record::Entry> entries;
  if (const auto where = book::record_of(*planned.book)) {
    record::Opened opened = record::open(*where, record::Access::read);
    if (opened.store != nullptr) opened.problem = opened.store->read(query, entries);
    if (!opened.problem.empty()) return exit_faults;  // reported with the book
  }
  const bool written = write_result(arguments.file, [&](std::ostream& out) {
    paper::write_history(out, planned.plan, *batch, entries, arguments.size());
  });
  return written ? exit_fine : exit_faults;
}

int run_print(const PrintArguments& arguments) {
  const report::Filter filter = arguments.part.filter();
  const std::string misuse = misuse_of(arguments, filter);
  if (misuse.empty() && arguments.is_method()) return print_method(arguments);
  const auto missing = [&](const plan::Plan& plan) { return report::unknown_name(plan, filter); };
  return run_on_book(arguments.book, misuse, missing, [&](PlannedBook& planned) {
    const bool history = !arguments.history.empty();
    const int status = history                     ? print_history(arguments, planned)
                       : arguments.deliveries      ? print_deliveries(arguments, planned)
                       : !arguments.labels.empty() ? print_labels(arguments, filter, planned)
                                                   : print_sheets(arguments, filter, planned);
    // What happened is no conflict to act on.
    if (!history) report_conflicts(planned.plan, filter.batch, planned.diagnostics);
    const int said = finish(planned, true);
    return status == exit_fine ? said : status;
  });
}

/// An option that takes one of a few words.
void add_choice(CLI::App& command, const std::string& name, std::string& value,
                const std::vector<std::string>& words, const std::string& type,
                const std::string& description) {
  command.add_option(name, value, description)
      ->type_name(type)
      ->check([words, name](const std::string& word) -> std::string {
        if (std::find(words.begin(), words.end(), word) != words.end()) return {};
        return "`" + word + "` does not go with " + name + "; choose " +
               text::list_words(words, "or") + ".";
      });
}

void add_part(CLI::App& words, FilterArguments& part) {
  words.add_option("--batch", part.batch, "Only this batch")->type_name("ID");
  add_date(words, "--from", part.from, "Only work on this day or later");
  add_date(words, "--to", part.to, "Only work on this day or earlier");
  words.add_option("--room", part.room, "Only work in this room")->type_name("ROOM");
  words.add_option("--crew", part.crew, "Only work of this crew")->type_name("CREW");
}

void add_labels(CLI::App& words, PrintArguments& arguments) {
  add_choice(words, "--labels", arguments.labels, {"batches", "trays", "pots"}, "KIND",
             "Labels: one for each of the batches, or for each of the trays or pots that their "
             "work takes");
  words
      .add_option("--skip", arguments.skip,
                  "So many labels are gone from the first sheet: leave their places out")
      ->type_name("NUMBER")
      ->check(CLI::Range(0, 10000));
  words.add_option("--sheet", arguments.sheet, "Which sheet of labels, for --format svg")
      ->type_name("NUMBER")
      ->check(CLI::Range(1, 1000000));
}

}  // namespace

Command add_print(CLI::App& program) {
  const auto arguments = std::make_shared<PrintArguments>();
  CLI::App* words = program.add_subcommand("print",
                                           "For paper: work sheets, a method for the binder, the "
                                           "season, what to buy, labels, a history");
  arguments->book.add_to(*words);
  add_choice(*words, "--by", arguments->by, {"day", "week", "crew", "room", "batch"}, "GROUP",
             "Work sheets by day (what is printed unless told), week, crew, room or batch");
  add_part(*words, arguments->part);
  words
      ->add_option("--method", arguments->method, "A method for the binder, from this file (*.bud)")
      ->type_name("PATH");
  words
      ->add_option("--protocol", arguments->protocol,
                   "A method for the binder, of the book or where --method has several")
      ->type_name("NAME");
  words->add_option("--edition", arguments->edition, "Which edition of it")
      ->type_name("NUMBER")
      ->check(CLI::Range(1, 1000000));
  words->add_flag("--season", arguments->season, "The season on one landscape page");
  words->add_flag("--deliveries", arguments->deliveries,
                  "What to buy, as a list to tick off, supplier by supplier");
  words
      ->add_option("--history", arguments->history,
                   "What became of this batch: lots, who did what and when, counts, corrections")
      ->type_name("ID");
  add_labels(*words, *arguments);
  add_choice(*words, "--page", arguments->page, {"a4", "letter"}, "SIZE",
             "a4 or letter; what the printer has unless told");
  add_choice(*words, "--format", arguments->format, {"html", "svg"}, "FORMAT",
             "html for printing from a browser (the default), svg for one sheet of labels");
  words->add_option("--out", arguments->file, "Write to this file instead of the terminal")
      ->type_name("FILE")
      ->check([](const std::string& word) -> std::string {
        return word.empty() ? "A file name is expected." : "";
      });
  return {words, [arguments] { return run_print(*arguments); }};
}

}  // namespace budwood::app
