#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "app/protocol_choice.hpp"
#include "report/differences/comparison.hpp"
#include "report/differences/protocol_changes.hpp"
#include "report/results/revision_report.hpp"
#include "revision/revise.hpp"
#include "share/compare.hpp"
#include "share/editions.hpp"

namespace budwood::app {

namespace {

struct ReviseArguments {
  std::string protocol, folder = ".", file, method;
};

/// The batches that have not begun: those under way stay on the edition that they began with.
book::Book ahead_of(const book::Book& book) {
  book::Book out = book;
  std::erase_if(out.batches, [](const book::Batch& one) { return book::under_way(one); });
  return out;
}

void write_all(std::ostream& out, const PlannedBook& planned, const language::Protocol& before,
               const revision::Revision& next, const std::string& file) {
  const report::Style style = output_style(false);
  report::write_revision(out, before, next, file, style);
  const share::ProtocolChanges changes = share::compare(before, *next.protocol);
  const book::Book ahead = ahead_of(*planned.book);
  const book::Book other_book = share::with_other_protocol(ahead, before, *next.protocol);
  // What no longer holds of an edition that is no more is told when somebody plans with the new
  // one.
  text::Diagnostics unheard;
  const plan::Plan plan = plan::make_plan(ahead, unheard);
  const plan::Plan other_plan = plan::make_plan(other_book, unheard);
  const std::vector<plan::Change> no_changes;
  const report::Comparison plans{plan, other_plan, no_changes};
  out << '\n';
  report::write_protocol_changes(out, {before, *next.protocol, changes, &plans},
                                 report::Format::table, style);
}

int run_revise(const ReviseArguments& arguments) {
  PlannedBook planned(BookArguments{arguments.folder, "", book::LibraryPart::whole});
  if (!planned.book) return finish(planned, false);
  int status = exit_misuse;
  std::string problem;
  const language::Protocol* before =
      choose_protocol(planned.book->protocols, arguments.protocol, arguments.folder, problem);
  if (before != nullptr && !language::variant_of(before->name).empty()) {
    problem = "A variant has the edition of its protocol: revise `" +
              language::method_of(before->name) + "`, with --method " +
              language::variant_of(before->name) + " to make the variant the way to work.";
    before = nullptr;
  }
  revision::Revision next;
  if (before != nullptr) {
    status = exit_faults;
    next = revision::revise({arguments.folder, &planned.plan}, {before, arguments.method},
                            planned.diagnostics);
    problem = next.problem;
  }
  if (!problem.empty()) {
    finish(planned, false);
    complain(problem);
    return status;
  }
  if (next.steps.empty()) {
    planned.diagnostics.note(
        "nothing-learned", {},
        "The record teaches nothing that the next edition would say otherwise, "
        "so nothing was written.");
    return finish(planned, true);
  }
  bool written = write_result(arguments.file, [&](std::ostream& out) { out << next.content; });
  if (written) {
    written = write_result(
        "", [&](std::ostream& out) { write_all(out, planned, *before, next, arguments.file); });
  }
  return finish(planned, written);
}

}  // namespace

Command add_revise(CLI::App& program) {
  const auto arguments = std::make_shared<ReviseArguments>();
  CLI::App* words = program.add_subcommand(
      "revise", "The next edition of a protocol, from its text and from what happened");
  words->add_option("PROTOCOL", arguments->protocol, "Its name, as the book has it")
      ->type_name("")
      ->required();
  words->add_option("--book", arguments->folder, "The book whose record teaches; the current one")
      ->type_name("BOOK");
  words->add_option("--method", arguments->method, "Make this variant the way to work")
      ->type_name("VARIANT");
  words->add_option("--out", arguments->file, "The file for the next edition's text")
      ->type_name("FILE")
      ->required();
  return {words, [arguments] { return run_revise(*arguments); }};
}

}  // namespace budwood::app
