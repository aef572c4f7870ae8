#include <CLI/CLI.hpp>
#include <memory>
#include <set>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "app/writing/completion_script.hpp"
#include "app/writing/man_page.hpp"
#include "manual/manual.hpp"

namespace budwood::app {

namespace {

/// What can be named in a book, for the one who types; nothing is complained of.
std::set<std::string> words_of(const std::string& kind, const std::string& folder) {
  std::set<std::string> out;
  if (kind == "topics") {
    const std::vector<std::string> codes = manual::codes();
    return {codes.begin(), codes.end()};
  }
  const PlannedBook planned(BookArguments{folder, "", book::LibraryPart::whole});
  if (!planned.book) return out;
  const book::Site& site = planned.book->site;
  if (kind == "rooms") {
    for (const auto& [name, room] : site.rooms) out.insert(name);
  } else if (kind == "crews") {
    for (const auto& [name, crew] : site.crews) out.insert(name);
  } else if (kind == "protocols") {
    for (const language::Protocol& one : planned.book->protocols) out.insert(one.name);
  }
  for (const plan::BatchPlan& batch : planned.plan.batches) {
    const std::string id = planned.plan.facts_of(batch).id.value;
    const sheet::Template& layout = planned.plan.sheet_of(batch).layout();
    if (kind == "batches") out.insert(id);
    if (kind == "changes") {
      for (const char* one : {"ready", "plants", "start"}) out.insert(id + "." + one + "=");
      for (const language::Input& input : layout.protocol.inputs)
        out.insert(id + "." + input.name + "=");
    }
    if (kind == "stages") {
      for (const language::Stage& stage : layout.protocol.stages) out.insert(stage.name);
    }
    if (kind == "values") {
      for (const sheet::Cell& cell : layout.cells) {
        if (!cell.name.empty()) out.insert(cell.name);
      }
    }
  }
  return out;
}

struct CompletionArguments {
  std::string what;
  std::string kind;
  std::string folder = ".";
};

int run_completion(const CLI::App& program, const CompletionArguments& arguments) {
  std::string text;
  if (arguments.what == "bash") {
    text = bash_completion(program);
  } else if (arguments.what == "zsh") {
    text = zsh_completion(program);
  } else if (arguments.what == "man") {
    text = man_page(program, program.version());
  } else {
    for (const std::string& word : words_of(arguments.kind, arguments.folder)) text += word + "\n";
  }
  const bool written = write_result({}, [&](std::ostream& out) { out << text; });
  return written ? exit_fine : exit_faults;
}

}  // namespace

Command add_completion(CLI::App& program) {
  const auto arguments = std::make_shared<CompletionArguments>();
  CLI::App* words = program.add_subcommand(
      "completion",
      "A script with which a shell completes commands, options and names; the manual page");
  words
      ->add_option(
          "WHAT", arguments->what,
          "bash or zsh for its script, man for the manual page, words for what a book knows")
      ->type_name("")
      ->required()
      ->check([](const std::string& word) -> std::string {
        const bool known = word == "bash" || word == "zsh" || word == "man" || word == "words";
        return known ? "" : "`" + word + "` is none of bash, zsh, man, words.";
      });
  words
      ->add_option("KIND", arguments->kind,
                   "Which words: batches, changes, crews, protocols, rooms, stages, topics, values")
      ->type_name("");
  words->add_option("BOOK", arguments->folder, "The folder of the book")->type_name("");
  const CLI::App* all = &program;
  return {words, [all, arguments] { return run_completion(*all, *arguments); }};
}

}  // namespace budwood::app
