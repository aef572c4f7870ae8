#include <CLI/CLI.hpp>
#include <filesystem>
#include <memory>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/protocol_choice.hpp"
#include "app/writing/first_book.hpp"
#include "book/library.hpp"
#include "files/shipped.hpp"
#include "record/store.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

/// Whether a book can be made there without coming upon anything.
bool is_free(const fs::path& folder) {
  std::error_code failure;
  return !fs::exists(folder, failure) || fs::is_empty(folder, failure);
}

int run_new(const std::string& folder, const std::string& wanted) {
  if (!is_free(folder)) {
    complain("There is something in `" + folder + "` already. Name a folder that is new or empty.");
    return exit_misuse;
  }
  text::Sources sources;
  text::Diagnostics diagnostics;
  language::Document library;
  const language::Protocol* from = nullptr;
  if (!wanted.empty()) {
    const auto place = files::shipped("protocols");
    if (!place) {
      complain("The library of protocols is not where the program was installed.");
      return exit_faults;
    }
    library = book::read_library({{*place, {}}}, {}, sources, diagnostics);
    int status = exit_fine;
    from = find_protocol(library.protocols, wanted, "the library", diagnostics, status);
    if (from == nullptr) return status;
  }
  const std::vector<files::NewFile> book = first_book(folder, from, record::day_now());
  std::error_code failure;
  fs::create_directories(folder, failure);
  const std::string problem = failure
                                  ? "`" + folder + "` cannot be made: " + failure.message() + "."
                                  : files::place_all(book, folder);
  if (!problem.empty()) {
    complain(problem);
    return exit_faults;
  }
  const bool told = tell_done("The book was made", [&](std::ostream& out) {
    out << "A book was made in `" << folder << "`:\n";
    for (const files::NewFile& file : book) out << "  " << file.path.generic_string() << '\n';
    out << "Next: budwood plan " << folder << '\n';
  });
  return told ? exit_fine : exit_faults;
}

}  // namespace

Command add_new(CLI::App& program) {
  CLI::App* words = program.add_subcommand(
      "new", "A small book that explains itself and plans at once, to begin from");
  const auto folder = std::make_shared<std::string>();
  words->add_option("DIR", *folder, "The folder that is made for it")->type_name("")->required();
  const auto protocol = std::make_shared<std::string>();
  words
      ->add_option("--protocol", *protocol,
                   "Begin from this protocol of the library that came with the program")
      ->type_name("NAME");
  return {words, [folder, protocol] { return run_new(*folder, *protocol); }};
}

}  // namespace budwood::app
