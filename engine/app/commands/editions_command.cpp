#include <CLI/CLI.hpp>
#include <filesystem>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/protocol_choice.hpp"
#include "report/differences/editions.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

struct EditionsArguments {
  std::string path = ".";
  bool keep = false;
  std::string move;
  int to = 0;
  ResultArguments result;
};

std::string misuse_of(const EditionsArguments& arguments) {
  if (arguments.to != 0 && arguments.move.empty()) return "--to goes with --move.";
  const bool changes = arguments.keep || !arguments.move.empty();
  if (changes && !is_book(arguments.path)) {
    return "`" + arguments.path + "` is no book: only a book keeps editions.";
  }
  return arguments.keep && !arguments.move.empty() ? "Either --keep or --move." : "";
}

/// Writes editions.yaml. Nothing while the book has errors: what cannot be read would be forgotten.
int keep(const EditionsArguments& arguments, book::Book& book, text::Diagnostics& diagnostics) {
  if (diagnostics.has_errors()) {
    report_problems(diagnostics);
    complain("The editions are not kept while the book has errors.");
    return exit_faults;
  }
  const bool moving = !arguments.move.empty();
  if (moving) {
    const std::optional<int> to = arguments.to == 0 ? std::nullopt : std::optional(arguments.to);
    const std::string problem = share::move_batch(book, arguments.move, to);
    if (!problem.empty()) {
      complain(problem);
      return exit_misuse;
    }
  }
  const auto keeping = moving ? book::Keeping::as_kept : book::Keeping::anew;
  const fs::path file = fs::path(arguments.path) / book::editions_file;
  const bool kept =
      replace_file(file, [&](std::ostream& out) { out << book::editions_yaml(book, keeping); });
  text::Diagnostics left;
  for (const text::Diagnostic& d : diagnostics.sorted()) {
    // What these say of the old file is over with the new one.
    const bool of_file = d.span.source != nullptr &&
                         fs::path(d.span.source->name()).filename() == book::editions_file;
    const bool over = of_file || (!moving && d.code == "edition-changed");
    if (!over) left.add(d);
  }
  report_problems(left);
  if (!kept) return exit_faults;
  const std::string name = file.generic_string();
  const bool told = tell_done("The editions are kept in `" + name + "`",
                              [&](std::ostream& out) { out << "Kept in " << name << ".\n"; });
  return told ? exit_fine : exit_faults;
}

int run_editions(const EditionsArguments& arguments) {
  if (const std::string misuse = misuse_of(arguments); !misuse.empty()) {
    complain(misuse);
    return exit_misuse;
  }
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::optional<book::Book> book;
  std::vector<share::EditionFacts> editions;
  if (is_book(arguments.path)) {
    book = book::read_book(arguments.path, sources, diagnostics);
    if (!book) {
      report_problems(diagnostics);
      return exit_faults;
    }
    if (arguments.keep || !arguments.move.empty()) return keep(arguments, *book, diagnostics);
    editions = share::list_editions(*book);
  } else {
    editions = share::list_editions(read_path(arguments.path, sources, diagnostics));
  }
  if (editions.empty()) report_none(arguments.path, diagnostics);
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    report::write_editions(out, editions, book.has_value(), arguments.result.chosen(),
                           output_style(!arguments.result.file.empty()));
  });
  const bool faults = report_problems(diagnostics);
  return written && !faults ? exit_fine : exit_faults;
}

}  // namespace

Command add_editions(CLI::App& program) {
  const auto arguments = std::make_shared<EditionsArguments>();
  CLI::App* words = program.add_subcommand(
      "editions", "The editions of protocols and rule sets, their fingerprints, and who uses them");
  words
      ->add_option("PATH", arguments->path,
                   "A book, a protocol (*.bud) or a folder; default: this one")
      ->type_name("");
  words->add_flag("--keep", arguments->keep,
                  "Keep in editions.yaml what the protocols mean now and which batch is on which");
  words->add_option("--move", arguments->move, "Move this batch to the newest edition")
      ->type_name("BATCH");
  words->add_option("--to", arguments->to, "With --move: to this edition instead")
      ->type_name("N")
      ->check(CLI::Range(1, 1'000'000));
  arguments->result.add_to(*words);
  return {words, [arguments] { return run_editions(*arguments); }};
}

}  // namespace budwood::app
