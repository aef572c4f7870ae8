#include "app/commands/record_noting.hpp"

#include <ostream>

#include "app/app.hpp"
#include "app/commands/book_known.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "files/read.hpp"
#include "language/parse/entry_reader.hpp"
#include "record/json.hpp"
#include "record/line.hpp"

namespace budwood::app {

namespace {

using language::syntax::EntryLine;

constexpr std::size_t largest_import = 2000U << 20U;
constexpr std::size_t short_id = 8;

/// A book that something is noted in. Its mistakes are no reason not to: what happened, happened.
struct OpenBook {
  explicit OpenBook(const std::string& folder)
      : book(book::read_book(folder, sources, diagnostics)) {
    if (!book) {
      report_problems(diagnostics);
      return;
    }
    opened = record::open(book::record_of(*book), record::Access::write);
    if (opened.store == nullptr) complain(opened.problem);
    if (!opened.notice.empty()) complain(opened.notice);
  }
  bool ready() const { return book && opened.store != nullptr; }

  text::Sources sources;
  text::Diagnostics diagnostics;
  std::optional<book::Book> book;
  record::Opened opened;
};

std::string entries_text(std::size_t number) {
  return number == 1 ? "1 entry" : std::to_string(number) + " entries";
}

int nothing_noted(const text::Diagnostics& diagnostics) {
  report_problems(diagnostics);
  complain("Nothing was noted.");
  return exit_faults;
}

/// Adds what was read, and tells it line by line.
int note(record::Store& store, std::vector<record::Entry> entries) {
  for (record::Entry& entry : entries) entry.noted = record::moment_now();
  record::Added added;
  if (const std::string problem = store.add(entries, added); !problem.empty()) {
    complain(problem + " Nothing was noted.");
    return exit_faults;
  }
  const std::string done = entries_text(entries.size()) + " noted";
  const bool told = tell_done(done, [&](std::ostream& out) {
    for (const record::Entry& entry : entries) {
      out << entry.id.substr(0, short_id) << "  " << record::line_of(entry) << '\n';
    }
    out << done << ".\n";
  });
  return told ? exit_fine : exit_faults;
}

std::vector<std::string> places_in(const std::vector<EntryLine>& lines) {
  std::vector<std::string> out;
  for (const EntryLine& line : lines) {
    if (!line.place.value.empty()) out.push_back(line.place.value);
  }
  return out;
}

/// Reads what was typed, and the file, into lines; none when a file cannot be read.
std::vector<EntryLine> read_all(const std::vector<std::string>& typed, const std::string& file,
                                text::Sources& sources, text::Diagnostics& found) {
  std::vector<EntryLine> lines;
  if (!typed.empty()) {
    std::string all;
    for (const std::string& line : typed) all += line + "\n";
    lines = language::read_entries(sources.add("entries", std::move(all)), found);
  }
  if (file.empty()) return lines;
  constexpr std::size_t largest = 16U << 20U;
  const text::Source* source = files::read_text(file, sources, found, largest);
  if (source == nullptr) return lines;
  for (EntryLine& line : language::read_entries(*source, found)) lines.push_back(std::move(line));
  return lines;
}

}  // namespace

int note_lines(const std::string& folder, const std::vector<std::string>& typed,
               const std::string& file, const record::Usual& usual) {
  OpenBook open(folder);
  if (!open.ready()) return exit_faults;
  text::Diagnostics found;
  const std::vector<EntryLine> lines = read_all(typed, file, open.sources, found);
  const BookKnown known(*open.book, places_in(lines), open.opened.store.get());
  std::vector<record::Entry> entries;
  for (const EntryLine& line : lines) {
    if (auto entry = record::understand(line, known, usual, found))
      entries.push_back(std::move(*entry));
  }
  if (found.has_errors()) return nothing_noted(found);
  if (entries.empty()) {
    complain("There is no entry to note.");
    return exit_misuse;
  }
  return note(*open.opened.store, std::move(entries));
}

int import_entries(const std::string& folder, const std::string& file) {
  OpenBook open(folder);
  if (!open.ready()) return exit_faults;
  text::Diagnostics found;
  const text::Source* source = files::read_text(file, open.sources, found, largest_import);
  std::vector<record::Entry> entries;
  if (source != nullptr) entries = record::read_json_lines(*source, found);
  if (found.has_errors()) return nothing_noted(found);
  record::Added added;
  if (const std::string problem = open.opened.store->add(entries, added); !problem.empty()) {
    complain(problem);
    return exit_faults;
  }
  const std::string done =
      entries_text(added.fresh) + " taken in, " + std::to_string(added.known) + " there already";
  return tell_done(done, [&](std::ostream& out) { out << done << ".\n"; }) ? exit_fine
                                                                           : exit_faults;
}

int take_over(const std::string& folder) {
  OpenBook open(folder);
  if (!open.ready()) return exit_faults;
  if (open.diagnostics.has_errors()) return nothing_noted(open.diagnostics);
  std::vector<record::Entry> entries = book::told_in_batches(*open.book, record::day_now());
  if (entries.empty()) {
    return tell_done(
               "",
               [](std::ostream& out) {
                 out << "batches.yaml says nothing of what happened that the record does not have: "
                        "`recorded` and `done` can be taken out of it.\n";
               })
               ? exit_fine
               : exit_faults;
  }
  const int status = note(*open.opened.store, std::move(entries));
  if (status != exit_fine) return status;
  return tell_done("",
                   [](std::ostream& out) {
                     out << "`recorded` and `done` can now be taken out of batches.yaml.\n";
                   })
             ? exit_fine
             : exit_faults;
}

}  // namespace budwood::app
