#include <CLI/CLI.hpp>
#include <algorithm>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/output.hpp"
#include "app/results/asked_books.hpp"
#include "report/results/learned_report.hpp"

namespace budwood::app {

namespace {

struct LearnArguments {
  std::vector<std::string> books;
  bool keep = false;
  bool curve = false;
  ResultArguments result;
};

std::string misuse(const LearnArguments& arguments) {
  if (arguments.keep && arguments.books.size() > 1) {
    return "--keep writes into the book that was learned from: name one book.";
  }
  if (arguments.curve && arguments.result.chosen() != report::Format::table) {
    return "--curve is told in the table.";
  }
  return "";
}

/// What a book cannot keep, and why.
void tell_not_kept(const results::Learned& one, text::Diagnostics& diagnostics) {
  if (one.input.empty()) return;  // a length that no input says: `revise` writes it
  const std::string name = "`" + one.input + "` of `" + one.protocol + "`";
  if (one.outside) {
    diagnostics.warning("not-kept", {},
                        name + " was learned outside the range of the protocol, so it is not kept.",
                        "Widen the range in the protocol (`from ... to ...`), and learn again.");
    return;
  }
  diagnostics.note("not-kept", {},
                   name + " rests on " + std::to_string(one.jobs) + " " +
                       (one.kind == results::Learned::Kind::rate ? "jobs" : "times") +
                       ", so it is not kept: " + std::to_string(results::enough_batches) +
                       " are needed.");
}

bool keep(AskedBooks& books, const std::vector<results::Learned>& learned) {
  PlannedBook& planned = *books.planned.front();
  std::vector<book::LearnedValue> values;
  for (const results::Learned& one : learned) {
    if (results::can_be_kept(one)) {
      values.push_back(results::kept_value(one));
    } else {
      tell_not_kept(one, planned.diagnostics);
    }
  }
  return replace_file(planned.book->folder / book::learned_file,
                      [&](std::ostream& out) { out << book::learned_yaml(values); });
}

int run_learn(const LearnArguments& arguments) {
  if (const std::string words = misuse(arguments); !words.empty()) {
    complain(words);
    return exit_misuse;
  }
  AskedBooks books = read_books(arguments.books);
  if (books.asked.empty()) return finish_all(books, false);
  if (!books.problem.empty()) return refuse(books);
  const std::vector<results::Learned> learned = results::learn(books.asked);
  bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    const report::Style style = output_style(!arguments.result.file.empty());
    report::write_learned(out, learned, arguments.result.chosen(), style);
    if (arguments.curve) {
      report::write_curves(out, results::learning_curves(books.asked), style);
    }
    const bool table = arguments.result.chosen() == report::Format::table;
    const bool to_keep = std::any_of(learned.begin(), learned.end(), results::can_be_kept);
    if (table && to_keep && !arguments.keep) {
      out << "\nTo plan with it: budwood learn BOOK --keep\n";
    }
  });
  if (learned.empty()) note_nothing(books);
  // Nothing learned takes nothing away: a file that is there stays.
  if (arguments.keep && !learned.empty()) written = keep(books, learned) && written;
  return finish_all(books, written);
}

}  // namespace

Command add_learn(CLI::App& program) {
  const auto arguments = std::make_shared<LearnArguments>();
  CLI::App* words = program.add_subcommand(
      "learn", "What the record teaches of each input: its value, and how far batches differ");
  words->add_option("BOOK", arguments->books, "Folders of books; the current one unless told");
  words->add_flag("--keep", arguments->keep,
                  "Keep it in learned.yaml beside the book, so that plans go by it");
  words->add_flag("--curve", arguments->curve, "Tell how people got faster with practice");
  arguments->result.add_to(*words);
  return {words, [arguments] { return run_learn(*arguments); }};
}

}  // namespace budwood::app
