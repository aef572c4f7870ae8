#include "app/commands/record_noting.hpp"

#include <algorithm>
#include <cctype>
#include <map>
#include <ostream>

#include "app/app.hpp"
#include "app/commands/book_known.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "files/read.hpp"
#include "language/parse/entry_reader.hpp"
#include "office/workbooks/read_workbook.hpp"
#include "record/json.hpp"
#include "record/line.hpp"
#include "record/returns.hpp"
#include "record/standing.hpp"
#include "text/csv.hpp"

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

constexpr std::size_t largest_file = 64U << 20U;

/// What was typed, as lines.
std::vector<EntryLine> read_typed(const std::vector<std::string>& typed, text::Sources& sources,
                                  text::Diagnostics& found) {
  if (typed.empty()) return {};
  std::string all;
  for (const std::string& line : typed) all += line + "\n";
  return language::read_entries(sources.add("entries", std::move(all)), found);
}

bool ends_in(const std::string& file, std::string_view ending) {
  std::string end = file.size() < ending.size() ? "" : file.substr(file.size() - ending.size());
  std::transform(end.begin(), end.end(), end.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return end == ending;
}

/// The table in a CSV file or a workbook; without rows when it cannot be read, which is reported.
record::ReturnTable read_table(const std::string& file, text::Sources& sources,
                               text::Diagnostics& found) {
  record::ReturnTable out;
  out.name = file;
  if (ends_in(file, ".csv")) {
    const text::Source* source = files::read_text(file, sources, found, largest_file);
    if (source == nullptr) return out;
    text::CsvReader reader(*source);
    while (const auto fields = reader.next(found)) {
      std::vector<record::Cell> cells;
      for (const text::CsvField& field : *fields) cells.push_back({field.value, field.span});
      out.rows.push_back(std::move(cells));
      out.numbers.push_back(out.rows.size());
    }
    return out;
  }
  const files::Bytes bytes = files::read_bytes(file, largest_file);
  if (!bytes.ok()) {
    found.add(files::refusal(bytes, file, largest_file));
    return out;
  }
  const office::ReadSheet sheet = office::read_workbook(bytes.bytes);
  if (!sheet.problem.empty()) {
    found.error("no-sheet", {}, "`" + file + "` cannot be read: " + sheet.problem,
                "Save it as XLSX or CSV.");
    return out;
  }
  for (std::size_t row = 0; row < sheet.rows.size(); ++row) {
    if (sheet.rows[row].empty()) continue;
    std::vector<record::Cell> cells;
    for (const std::string& text : sheet.rows[row]) cells.push_back({text, {}});
    out.rows.push_back(std::move(cells));
    out.numbers.push_back(row + 1);
  }
  return out;
}

/// Whether two entries say the same, whoever noted them and when.
bool says_the_same(const record::Entry& one, record::Entry other) {
  other.id = one.id;
  other.noted = one.noted;
  other.turn = one.turn;
  return one == other;
}

/// Takes out what the record has already: a sheet may be given back twice.
std::string take_out_known(record::Store& store, std::vector<record::Entry>& entries) {
  record::Query query;
  for (const record::Entry& entry : entries) query.batches.push_back(entry.batch);
  std::sort(query.batches.begin(), query.batches.end());
  query.batches.erase(std::unique(query.batches.begin(), query.batches.end()), query.batches.end());
  std::vector<record::Entry> there;
  const std::string problem = store.read(query, there);
  std::multimap<std::string, record::Entry> by_place;
  for (record::Entry& entry : record::standing(std::move(there))) {
    std::string place = record::whole_place(entry);
    by_place.emplace(std::move(place), std::move(entry));
  }
  std::erase_if(entries, [&](const record::Entry& entry) {
    const auto [first, last] = by_place.equal_range(record::whole_place(entry));
    return std::any_of(first, last,
                       [&](const auto& one) { return says_the_same(entry, one.second); });
  });
  return problem;
}

/// The entries of some lines; what is wrong with one is reported.
std::vector<record::Entry> understand_all(const std::vector<EntryLine>& lines, OpenBook& open,
                                          const record::Usual& usual, text::Diagnostics& found) {
  const BookKnown known(*open.book, places_in(lines), open.opened.store.get());
  std::vector<record::Entry> entries;
  for (const EntryLine& line : lines) {
    if (auto entry = record::understand(line, known, usual, found)) {
      entries.push_back(std::move(*entry));
    }
  }
  return entries;
}

/// A work sheet that came back.
int note_sheet(OpenBook& open, const std::string& file, const record::Usual& usual) {
  text::Diagnostics found;
  const record::ReturnTable table = read_table(file, open.sources, found);
  if (found.has_errors()) return nothing_noted(found);
  record::Returns returns(table, open.sources);
  const std::vector<EntryLine> lines = returns.lines(found);
  std::vector<record::Entry> entries = understand_all(lines, open, usual, found);
  text::Diagnostics told;
  returns.tell(found, told);
  if (told.has_errors()) return nothing_noted(told);
  const std::size_t read = entries.size();
  if (read == 0) {
    complain("Nothing is filled in in `" + file + "`.");
    return exit_faults;
  }
  if (const std::string problem = take_out_known(*open.opened.store, entries); !problem.empty()) {
    complain(problem + " Nothing was noted.");
    return exit_faults;
  }
  if (entries.size() < read) {
    complain(entries_text(read - entries.size()) + " of `" + file + "` had been noted before.");
  }
  return entries.empty() ? exit_fine : note(*open.opened.store, std::move(entries));
}

}  // namespace

bool is_sheet(const std::string& file) {
  return ends_in(file, ".csv") || ends_in(file, ".xlsx");
}

int note_lines(const std::string& folder, const std::vector<std::string>& typed,
               const std::string& file, const record::Usual& usual) {
  OpenBook open(folder);
  if (!open.ready()) return exit_faults;
  if (is_sheet(file)) return note_sheet(open, file, usual);
  text::Diagnostics found;
  std::vector<EntryLine> lines = read_typed(typed, open.sources, found);
  const text::Source* source =
      file.empty() ? nullptr : files::read_text(file, open.sources, found, largest_file);
  if (source != nullptr) {
    for (EntryLine& line : language::read_entries(*source, found)) lines.push_back(std::move(line));
  }
  std::vector<record::Entry> entries = understand_all(lines, open, usual, found);
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
