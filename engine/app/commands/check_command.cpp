#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <memory>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/planned_book.hpp"
#include "app/protocol_choice.hpp"
#include "book/library.hpp"
#include "files/shipped.hpp"
#include "plan/advice.hpp"
#include "plan/rooms/load.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/trial.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

/// Checks whatever paths name, and counts what it found.
class Checker {
 public:
  /// With `protocol` a book is also asked whether its site has what that protocol needs.
  explicit Checker(std::string protocol) : wanted_(std::move(protocol)) {}

  void check(const fs::path& path) {
    std::error_code failure;
    if (fs::is_directory(path, failure)) {
      if (check_folder(path) == 0) {
        diagnostics_.error(
            "no-protocols", {},
            "There is no protocol (*.bud) and no book in `" + path.generic_string() + "`.",
            "Check the path.");
      }
    } else if (path.extension() == ".yaml" || path.extension() == ".yml") {
      diagnostics_.error("not-a-protocol", {},
                         "`" + path.generic_string() + "` belongs to a book and is not a protocol.",
                         "Give the folder in which it stands.");
    } else {
      files_.push_back(path);
    }
  }

  /// Tries out the protocols that stand in no book, with all rule sets that were found beside them.
  void finish() {
    loose_ = book::read_files(files_, sources_, diagnostics_);
    std::vector<const language::RuleSet*> sets;
    for (const language::RuleSet& one : loose_.rule_sets) sets.push_back(&one);
    for (language::Protocol& protocol : loose_.protocols) {
      language::follow(protocol, sets, diagnostics_);
      try_out(std::move(protocol), diagnostics_);
    }
  }

  const text::Diagnostics& diagnostics() const { return diagnostics_; }

  /// "3 protocols and 1 book: no errors."
  std::string praise() const {
    std::vector<std::string> parts;
    const auto count = [&](std::size_t number, const std::string& noun) {
      if (number > 0)
        parts.push_back(std::to_string(number) + " " + noun + (number > 1 ? "s" : ""));
    };
    count(protocols_, "protocol");
    count(loose_.rule_sets.size() + rule_sets_, "rule set");
    count(loose_.tables.size() + tables_, "shared table");
    count(books_, "book");
    count(batches_, "batch" + std::string(batches_ > 1 ? "e" : ""));
    return (parts.empty() ? "Nothing to check" : text::list_words(parts)) + ": no errors.";
  }

 private:
  /// Everything in a folder and the folders in it, by name, hidden ones left out. How much it was.
  std::size_t check_folder(const fs::path& folder) {
    if (is_book(folder)) {
      check_book(folder);
      return 1;
    }
    std::error_code failure;
    std::vector<fs::directory_entry> entries;
    for (fs::directory_iterator i(folder, failure), end; !failure && i != end;
         i.increment(failure)) {
      if (i->path().filename().native().front() != '.') entries.push_back(*i);
    }
    if (failure) {
      diagnostics_.error(
          "unreadable-folder", {},
          "`" + folder.generic_string() + "` cannot be read: " + failure.message() + ".");
      return 1;
    }
    std::sort(entries.begin(), entries.end());
    std::size_t found = 0;
    for (const fs::directory_entry& entry : entries) {
      std::error_code ignored;
      // A link to a folder could lead in a circle.
      if (entry.is_directory(ignored) && !entry.is_symlink(ignored)) {
        found += check_folder(entry.path());
      } else if (entry.path().extension() == ".bud") {
        files_.push_back(entry.path());
        ++found;
      }
    }
    return found;
  }

  void try_out(language::Protocol protocol, text::Diagnostics& diagnostics) {
    ++protocols_;
    const auto t = sheet::compile(std::move(protocol), diagnostics);
    if (t != nullptr) sheet::try_out(t, diagnostics);
  }

  /// Plans first: that tries the protocols that batches use.
  void check_book(const fs::path& folder) {
    books_made_.push_back(std::make_unique<PlannedBook>(
        BookArguments{folder.string(), "", book::LibraryPart::whole}));
    PlannedBook& planned = *books_made_.back();
    ++books_;
    if (planned.book) {
      batches_ += planned.book->batches.size();
      rule_sets_ += planned.book->rule_sets.size();
      tables_ += planned.book->tables.size();
      for (const language::Protocol& protocol : planned.book->protocols) {
        try_out(protocol, planned.diagnostics);
      }
      plan::check_provisions(asked_for(planned), planned.book->site, planned.diagnostics);
    }
    plan::advise_assurance(planned.plan, planned.diagnostics);
    plan::advise_fixed_work(planned.plan, planned.diagnostics);
    report_conflicts(planned.plan, {}, planned.diagnostics);
    for (const text::Diagnostic& d : planned.diagnostics.sorted()) {
      if (!is_note_of_shipped(d)) diagnostics_.add(d);
    }
  }

  /// What the library that came with the program waives is for those who write it.
  static bool is_note_of_shipped(const text::Diagnostic& d) {
    static const auto library = files::shipped("protocols");
    if (!library || d.severity != text::Severity::note || d.span.source == nullptr) return false;
    const fs::path path = fs::path(d.span.source->name()).parent_path();
    std::error_code ignored;
    return fs::equivalent(path, *library, ignored);
  }

  /// The protocols that batches use, or the one that is asked for in its newest edition.
  std::vector<const language::Protocol*> asked_for(PlannedBook& planned) {
    if (wanted_.empty()) return plan::protocols_in_use(planned.plan);
    const language::Protocol* found = nullptr;
    std::vector<std::string> known;
    for (const language::Protocol& one : planned.book->protocols) {
      known.push_back(one.name);
      const bool newer = found == nullptr || one.edition > found->edition;
      if (one.name == wanted_ && newer) found = &one;
    }
    if (found != nullptr) return {found};
    planned.diagnostics.error("unknown-name", {}, "The book has no protocol `" + wanted_ + "`.",
                              text::did_you_mean(wanted_, known));
    return {};
  }

  std::string wanted_;
  text::Sources sources_;
  text::Diagnostics diagnostics_;
  std::vector<std::unique_ptr<PlannedBook>> books_made_;  ///< diagnostics point into their sources
  std::vector<fs::path> files_;                           ///< that stand in no book
  language::Document loose_;                              ///< what is in them
  std::size_t protocols_ = 0;
  std::size_t rule_sets_ = 0;
  std::size_t tables_ = 0;
  std::size_t books_ = 0;
  std::size_t batches_ = 0;
};

int run_check(const std::vector<std::string>& paths, const std::string& protocol) {
  Checker checker(protocol);
  for (const std::string& path : paths) checker.check(path);
  checker.finish();
  if (report_problems(checker.diagnostics())) return exit_faults;
  const bool written =
      write_result({}, [&](std::ostream& out) { out << checker.praise() << '\n'; });
  return written ? exit_fine : exit_faults;
}

}  // namespace

Command add_check(CLI::App& program) {
  const auto paths = std::make_shared<std::vector<std::string>>();
  CLI::App* words = program.add_subcommand(
      "check", "Every mistake and warning in protocols or whole books, each with its place");
  words->add_option("PATH", *paths, "Protocols (*.bud), books, or folders that hold some")
      ->type_name("")
      ->required();
  const auto protocol = std::make_shared<std::string>();
  words
      ->add_option("--protocol", *protocol,
                   "What this protocol of a book needs that the site does not have")
      ->type_name("NAME");
  return {words, [paths, protocol] { return run_check(*paths, *protocol); }};
}

}  // namespace budwood::app
