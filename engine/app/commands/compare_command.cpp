#include <CLI/CLI.hpp>
#include <filesystem>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "app/protocol_choice.hpp"
#include "book/library.hpp"
#include "report/differences/comparison.hpp"
#include "report/differences/protocol_changes.hpp"
#include "share/compare.hpp"
#include "share/editions.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

struct CompareArguments {
  std::string before, after, protocol, folder;
  ResultArguments result;
};

/// Finds the two protocols: in files, or by name in the book.
class Chooser {
 public:
  Chooser(const CompareArguments& arguments, PlannedBook* planned)
      : arguments_(arguments), planned_(planned) {}

  /// nullptr when it cannot be told; that has been said.
  const language::Protocol* choose(const std::string& word) {
    std::error_code ignored;
    const bool in_book = planned_ != nullptr && planned_->book;
    std::string problem;
    const language::Protocol* found = nullptr;
    if (in_book && !fs::exists(word, ignored)) {
      found = choose_protocol(planned_->book->protocols, word, arguments_.folder, problem);
    } else {
      read_.push_back(
          std::make_unique<language::Document>(read_path(word, sources_, diagnostics_)));
      if (in_book) make_own(*read_.back());
      const std::vector<language::Protocol>& protocols = read_.back()->protocols;
      if (protocols.empty()) {
        report_none(word, diagnostics_);
        return nullptr;
      }
      // A file that holds one protocol needs no choice, whatever the other one holds.
      const std::string wanted = protocols.size() == 1 ? "" : arguments_.protocol;
      found = choose_protocol(protocols, wanted, word, problem);
    }
    if (found == nullptr) {
      misused_ = true;
      complain(problem);
    }
    return found;
  }

  /// As the book has its protocols: with the site's names, units and rules.
  void make_own(language::Document& document) {
    document.rule_sets = planned_->book->rule_sets;
    text::Diagnostics told;  // when the book was read
    book::make_own(planned_->book->site, told, document);
  }

  text::Diagnostics& diagnostics() { return diagnostics_; }
  bool misused() const { return misused_; }

 private:
  const CompareArguments& arguments_;
  PlannedBook* planned_;
  text::Sources sources_;
  text::Diagnostics diagnostics_;
  std::vector<std::unique_ptr<language::Document>> read_;
  bool misused_ = false;
};

int run_compare(const CompareArguments& arguments) {
  std::unique_ptr<PlannedBook> planned;
  if (!arguments.folder.empty()) {
    planned = std::make_unique<PlannedBook>(
        BookArguments{arguments.folder, "", book::LibraryPart::whole});
    if (!planned->book) {
      report_problems(*planned);
      return exit_faults;
    }
  }
  Chooser chooser(arguments, planned.get());
  const language::Protocol* before = chooser.choose(arguments.before);
  const language::Protocol* after = before == nullptr ? nullptr : chooser.choose(arguments.after);
  if (before == nullptr || after == nullptr) {
    const bool faults = report_problems(chooser.diagnostics());
    return faults || !chooser.misused() ? exit_faults : exit_misuse;
  }
  const share::ProtocolChanges changes = share::compare(*before, *after);
  report::ProtocolComparison comparison{*before, *after, changes, nullptr};

  std::optional<book::Book> other_book;
  plan::Plan other_plan;
  std::optional<report::Comparison> plans;
  const std::vector<plan::Change> no_changes;
  if (planned != nullptr) {
    other_book = share::with_other_protocol(*planned->book, *before, *after);
    other_plan = plan::make_plan(*other_book, chooser.diagnostics());
    plans.emplace(report::Comparison{planned->plan, other_plan, no_changes});
    comparison.plans = &*plans;
  }
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    report::write_protocol_changes(out, comparison, arguments.result.chosen(),
                                   output_style(!arguments.result.file.empty()));
  });
  const bool faults = report_problems(chooser.diagnostics());
  return written && !faults ? exit_fine : exit_faults;
}

}  // namespace

Command add_compare(CLI::App& program) {
  const auto arguments = std::make_shared<CompareArguments>();
  CLI::App* words = program.add_subcommand(
      "compare", "What changed between two protocols, and what it does to the batches of a book");
  words
      ->add_option("A", arguments->before,
                   "A protocol (*.bud), a folder of them, or a book; with "
                   "--book also a name, such as \"bench_graft edition 1\"")
      ->type_name("")
      ->required();
  words->add_option("B", arguments->after, "The one that is held against it")
      ->type_name("")
      ->required();
  words->add_option("--protocol", arguments->protocol, "Which one, where there are several")
      ->type_name("NAME");
  words
      ->add_option("--book", arguments->folder,
                   "Also plan the batches of this book that follow A as if they followed B")
      ->type_name("BOOK");
  arguments->result.add_to(*words);
  return {words, [arguments] { return run_compare(*arguments); }};
}

}  // namespace budwood::app
