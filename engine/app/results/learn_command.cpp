#include <CLI/CLI.hpp>
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
  ResultArguments result;
};

int run_learn(const LearnArguments& arguments) {
  AskedBooks books = read_books(arguments.books);
  if (books.asked.empty()) return finish_all(books, false);
  const std::vector<results::Learned> learned = results::learn(books.asked);
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    report::write_learned(out, learned, arguments.result.chosen(),
                          output_style(!arguments.result.file.empty()));
  });
  if (learned.empty()) note_nothing(books);
  return finish_all(books, written);
}

}  // namespace

Command add_learn(CLI::App& program) {
  const auto arguments = std::make_shared<LearnArguments>();
  CLI::App* words = program.add_subcommand(
      "learn", "What the record teaches of each input: its value, and how far batches differ");
  words->add_option("BOOK", arguments->books, "Folders of books; the current one unless told");
  arguments->result.add_to(*words);
  return {words, [arguments] { return run_learn(*arguments); }};
}

}  // namespace budwood::app
