#include <CLI/CLI.hpp>
#include <algorithm>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/commands/record_noting.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "record/json.hpp"
#include "record/standing.hpp"
#include "report/record/record_list.hpp"

namespace budwood::app {

namespace {

/// A file is read with `--read`, because `--from` is a day in every command.
struct RecordArguments {
  std::string folder = ".";
  std::vector<std::string> entries;
  std::string file, import;
  bool exports = false, from_book = false;
  std::string batch, from, to, by, on;
  ResultArguments result;
  const CLI::App* words = nullptr;

  bool is_given(const char* option) const { return words->get_option(option)->count() > 0; }
  bool notes() const { return !entries.empty() || !file.empty(); }
  bool narrows() const { return !batch.empty() || !from.empty() || !to.empty(); }
};

std::string misuse_of(const RecordArguments& arguments) {
  const int works =
      arguments.notes() + !arguments.import.empty() + arguments.exports + arguments.from_book;
  if (works > 1) {
    return "Choose one: entries (and --read), --import, --export or --from-book.";
  }
  if (works == 1 && !arguments.exports &&
      (arguments.is_given("--format") || arguments.is_given("--out"))) {
    return "--format and --out are for what is listed: leave them out.";
  }
  if (arguments.exports && arguments.is_given("--format")) {
    return "--export writes a JSON object a line: leave --format out.";
  }
  if (works == 1 && arguments.narrows()) {
    return "--batch, --from and --to choose what is listed: leave them out.";
  }
  if (is_sheet(arguments.file) && !arguments.entries.empty()) {
    return "A work sheet is read by itself: leave the other entries out.";
  }
  if (!arguments.on.empty() && !arguments.notes() && !arguments.from_book) {
    return "--on says the day of entries that do not say it: there is no entry here.";
  }
  if (!arguments.by.empty() && works == 1 && !arguments.notes()) {
    return "--by chooses what is listed, or says who noted entries: leave it out.";
  }
  if (!arguments.from.empty() && !arguments.to.empty() && arguments.from > arguments.to) {
    return "--to " + arguments.to + " comes before --from " + arguments.from + ".";
  }
  return "";
}

record::Query query_of(const RecordArguments& arguments) {
  record::Query out;
  if (!arguments.batch.empty()) out.batches.push_back(arguments.batch);
  out.from = calendar::parse_iso_date(arguments.from);
  out.to = calendar::parse_iso_date(arguments.to);
  out.by = arguments.by;
  return out;
}

/// A book whose record is only read.
struct ReadRecord {
  explicit ReadRecord(const std::string& folder)
      : book(book::read_written_book(folder, sources, diagnostics, book::LibraryPart::used)) {
    if (book) where = book::record_of(*book);
    if (where) opened = record::open(*where, record::Access::read);
  }
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::optional<book::Book> book;
  std::optional<record::Where> where;  ///< nothing: there is no book, or it does not say
  record::Opened opened;
};

/// Of a batch that neither the book nor the record has: what to write instead.
std::string unknown_batch(const book::Book& book, const std::string& batch) {
  const std::vector<std::string> names = book::names_of(book.batches);
  if (std::find(names.begin(), names.end(), batch) != names.end()) return "";
  const std::string advice = text::did_you_mean(batch, names);
  return "There is no batch `" + batch + "`, and nothing is noted of one." +
         (advice.empty() ? "" : " " + advice);
}

int list(const RecordArguments& arguments) {
  ReadRecord read(arguments.folder);
  std::vector<record::Entry> entries;
  std::vector<record::Entry> all;
  if (read.opened.store != nullptr) {
    record::Query whole = query_of(arguments);
    std::string problem = read.opened.store->read(whole, entries);
    // What has become of an entry later ones tell, whoever noted them.
    whole.from = whole.to = std::nullopt;
    whole.by.clear();
    if (problem.empty()) problem = read.opened.store->read(whole, all);
    if (!problem.empty()) {
      complain(problem);
      return exit_faults;
    }
  }
  if (!read.where || !read.opened.problem.empty()) {
    report_problems(read.diagnostics);
    if (!read.opened.problem.empty()) complain(read.opened.problem);
    return exit_faults;
  }
  if (all.empty() && !arguments.batch.empty()) {
    if (const std::string words = unknown_batch(*read.book, arguments.batch); !words.empty()) {
      complain(words);
      return exit_misuse;
    }
  }
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    report::write_record(out, entries, all, arguments.result.chosen(),
                         output_style(!arguments.result.file.empty()));
  });
  return written ? exit_fine : exit_faults;
}

/// All entries, or what can still be read of them.
int export_all(const RecordArguments& arguments) {
  ReadRecord read(arguments.folder);
  if (!read.where) {
    report_problems(read.diagnostics);
    return exit_faults;
  }
  std::vector<record::Entry> entries;
  std::string problem = read.opened.problem;
  if (read.opened.store != nullptr) problem = read.opened.store->read({}, entries);
  const record::Store* store = read.opened.store.get();
  const bool damaged = read.opened.damaged || (store != nullptr && store->damaged());
  if (!problem.empty() && !damaged) {
    complain(problem);
    return exit_faults;
  }
  if (damaged) entries = record::salvage(read.where->file);
  const bool written = write_result(arguments.result.file, [&](std::ostream& out) {
    for (const record::Entry& entry : entries) out << record::json_of(entry) << '\n';
  });
  if (problem.empty()) return written ? exit_fine : exit_faults;
  complain(problem);
  if (damaged) {
    complain(entries_text(entries.size()) + " could be read all the same" +
             (written ? " and were written." : "."));
  }
  return exit_faults;
}

int run_record(const RecordArguments& arguments) {
  if (const std::string misuse = misuse_of(arguments); !misuse.empty()) {
    complain(misuse);
    return exit_misuse;
  }
  if (arguments.notes()) {
    const auto day = calendar::parse_iso_date(arguments.on);
    return note_lines(arguments.folder, arguments.entries, arguments.file,
                      {day.value_or(record::day_now()), arguments.by});
  }
  if (!arguments.import.empty()) return import_entries(arguments.folder, arguments.import);
  if (arguments.from_book) {
    const auto day = calendar::parse_iso_date(arguments.on);
    return take_over(arguments.folder, day.value_or(record::day_now()));
  }
  return arguments.exports ? export_all(arguments) : list(arguments);
}

}  // namespace

Command add_record(CLI::App& program) {
  const auto arguments = std::make_shared<RecordArguments>();
  CLI::App* words = program.add_subcommand(
      "record", "What happened: notes entries, lists them, takes them in and gives them out");
  add_book(*words, arguments->folder);
  words
      ->add_option(
          "ENTRY", arguments->entries,
          "What happened, such as \"BM27-1/healing counted 61 of 80\"; all are noted or none")
      ->type_name("");
  words
      ->add_option("--read", arguments->file,
                   "Note the entries in this file: a line each, or a work sheet (CSV or XLSX) that "
                   "`budwood plan --returns` wrote and people filled in")
      ->type_name("FILE");
  add_date(*words, "--on", arguments->on, "The day of entries that do not say it; default: today");
  words
      ->add_option(
          "--by", arguments->by,
          "Who noted entries that do not say it; without entries: list only what they noted")
      ->type_name("NAME");
  words->add_option("--batch", arguments->batch, "List only this batch")->type_name("ID");
  add_date(*words, "--from", arguments->from, "List only what happened on this day or later");
  add_date(*words, "--to", arguments->to, "List only what happened on this day or earlier");
  words->add_flag("--export", arguments->exports, "Write all entries, a JSON object a line");
  words
      ->add_option("--import", arguments->import, "Take in what --export wrote; twice does no harm")
      ->type_name("FILE");
  words->add_flag("--from-book", arguments->from_book,
                  "Take over what batches.yaml says under `recorded` and `done`");
  arguments->result.add_to(*words);
  arguments->words = words;
  return {words, [arguments] { return run_record(*arguments); }};
}

}  // namespace budwood::app
