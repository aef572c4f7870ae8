#include "app/commands/record_noting.hpp"

#include <algorithm>
#include <cctype>
#include <map>
#include <ostream>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "files/read.hpp"
#include "language/parse/entry_reader.hpp"
#include "office/workbooks/read_workbook.hpp"
#include "plan/noting/book_known.hpp"
#include "record/json.hpp"
#include "record/line.hpp"
#include "record/returns.hpp"
#include "record/together.hpp"
#include "report/results/learned_report.hpp"
#include "results/learn.hpp"
#include "text/csv.hpp"

namespace budwood::app {

namespace {

using language::syntax::EntryLine;

constexpr std::size_t largest_import = 2000U << 20U;
constexpr std::size_t short_id = 8;

/// A book that something is noted in. Its mistakes are no reason not to: what happened, happened;
/// but where its record is must be known.
class OpenBook {
 public:
  explicit OpenBook(const std::string& folder)
      : book(book::read_written_book(folder, sources, diagnostics, book::LibraryPart::used)) {
    if (book) where_ = book::record_of(*book);
    if (!where_) {
      report_problems(diagnostics);
      if (book) complain("Where the record is, site.yaml does not say. Nothing was noted.");
      return;
    }
    read_ = record::open(*where_, record::Access::read);
    if (!read_.problem.empty()) complain(read_.problem);
    ready_ = read_.problem.empty();
  }
  bool ready() const { return ready_; }

  /// What is noted already; nullptr when nothing is.
  record::Store* there() const { return read_.store.get(); }
  /// Adds all or none, and makes the record when there is none yet. Gives what went wrong. The
  /// record stays open: what is added is on the disk, and closing it, which tidies the file up,
  /// need not be waited for before that is confirmed.
  std::string add(std::vector<record::Entry>& entries, record::Added& added) {
    written_ = record::open(*where_, record::Access::write);
    if (!written_.notice.empty()) complain(written_.notice);
    return written_.store == nullptr ? written_.problem : written_.store->add(entries, added);
  }

  text::Sources sources;
  text::Diagnostics diagnostics;
  std::optional<book::Book> book;  ///< without its record

 private:
  std::optional<record::Where> where_;
  record::Opened read_, written_;
  bool ready_ = false;
};

int nothing_noted(const text::Diagnostics& diagnostics) {
  report_problems(diagnostics);
  complain("Nothing was noted.");
  return exit_faults;
}

int nothing_noted(const std::string& problem) {
  complain(problem + " Nothing was noted.");
  return exit_faults;
}

/// Adds what was read, and tells it line by line.
int note(OpenBook& open, std::vector<record::Entry> entries) {
  for (record::Entry& entry : entries) entry.noted = record::moment_now();
  record::Added added;
  if (const std::string problem = open.add(entries, added); !problem.empty()) {
    return nothing_noted(problem);
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
    std::size_t within = 0;  // lines that are no rows, because a cell goes on in them
    while (const auto fields = reader.next(found)) {
      std::vector<record::Cell> cells;
      for (const text::CsvField& field : *fields) cells.push_back({field.value, field.span});
      out.rows.push_back(std::move(cells));
      const std::size_t first = source->place(fields->front().span.begin).line;
      out.numbers.push_back(first - within);
      within += source->place(fields->back().span.end).line - first;
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

/// Whether an entry of a sheet says what one that is noted says, whatever became of that since, and
/// whoever noted it where the sheet does not say who.
bool says_the_same(const record::Entry& noted, record::Entry entry, bool says_who) {
  entry.id = noted.id;
  entry.noted = noted.noted;
  entry.turn = noted.turn;
  entry.corrects = noted.corrects;
  if (!says_who) entry.by = noted.by;
  return noted == entry;
}

/// Takes out what the record has already: a sheet may be given back twice. What was corrected or
/// withdrawn since counts too: the sheet knows nothing of that. `fresh` are all of `lines`.
void take_out_known(const std::vector<record::Entry>& noted, const std::vector<EntryLine>& lines,
                    std::vector<record::Fresh>& fresh) {
  if (fresh.size() != lines.size()) return;  // some have mistakes, so none is noted
  std::multimap<std::string, const record::Entry*> by_place;
  for (const record::Entry& entry : noted) by_place.emplace(record::whole_place(entry), &entry);
  std::vector<record::Fresh> out;
  for (std::size_t i = 0; i < fresh.size(); ++i) {
    const auto [first, last] = by_place.equal_range(record::whole_place(fresh[i].entry));
    const auto same = std::find_if(first, last, [&](const auto& one) {
      return says_the_same(*one.second, fresh[i].entry, lines[i].by.has_value());
    });
    if (same == last) {
      out.push_back(std::move(fresh[i]));
    } else {
      by_place.erase(same);  // what stands twice in a sheet is meant twice
    }
  }
  fresh = std::move(out);
}

/// Lines, as far as they can be understood; what is wrong with one is reported.
std::vector<record::Fresh> understand_all(const std::vector<EntryLine>& lines,
                                          const record::Known& known, const record::Usual& usual,
                                          text::Diagnostics& found) {
  std::vector<record::Fresh> out;
  for (const EntryLine& line : lines) {
    if (auto entry = record::understand(line, known, usual, found)) {
      out.push_back({std::move(*entry), line.day ? line.day->span : line.span});
    }
  }
  return out;
}

/// Notes what was read when nothing is wrong with it.
int note_fresh(OpenBook& open, plan::BookKnown& known, const std::vector<record::Fresh>& fresh) {
  const auto with = known.with(fresh);
  text::Diagnostics said = known.said_of(*with);
  for (const results::BelowExpectation& one : results::newly_below(known.plan(), with->plan)) {
    report::tell_below(one, said);
  }
  report_problems(said);
  std::vector<record::Entry> entries;
  for (const record::Fresh& one : fresh) entries.push_back(one.entry);
  return note(open, std::move(entries));
}

/// A work sheet that came back.
int note_sheet(OpenBook& open, const std::string& file, const record::Usual& usual) {
  text::Diagnostics found;
  const record::ReturnTable table = read_table(file, open.sources, found);
  if (found.has_errors()) return nothing_noted(found);
  record::Returns returns(table, open.sources);
  const std::vector<EntryLine> lines = returns.lines(found);
  plan::BookKnown known(*open.book, lines, open.there());
  std::vector<record::Fresh> fresh = understand_all(lines, known, usual, found);
  if (!known.problem().empty()) return nothing_noted(known.problem());
  const std::size_t read = fresh.size();
  take_out_known(known.noted(), lines, fresh);
  record::check_together(known.noted(), fresh, known, found);
  text::Diagnostics told;
  returns.tell(found, told);
  if (told.has_errors()) return nothing_noted(told);
  if (read == 0) {
    complain("Nothing is filled in in `" + file + "`.");
    return exit_faults;
  }
  if (fresh.size() < read) {
    complain(entries_text(read - fresh.size()) + " of `" + file + "` had been noted before.");
  }
  return fresh.empty() ? exit_fine : note_fresh(open, known, fresh);
}

}  // namespace

std::string entries_text(std::size_t number) {
  return number == 1 ? "1 entry" : std::to_string(number) + " entries";
}

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
  plan::BookKnown known(*open.book, lines, open.there());
  const std::vector<record::Fresh> fresh = understand_all(lines, known, usual, found);
  if (!known.problem().empty()) return nothing_noted(known.problem());
  record::check_together(known.noted(), fresh, known, found);
  if (found.has_errors()) return nothing_noted(found);
  if (fresh.empty()) {
    complain("There is no entry to note.");
    return exit_misuse;
  }
  return note_fresh(open, known, fresh);
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
  if (const std::string problem = open.add(entries, added); !problem.empty()) {
    complain(problem + " Nothing was taken in.");
    return exit_faults;
  }
  const std::string done =
      entries_text(added.fresh) + " taken in, " + std::to_string(added.known) + " there already";
  return tell_done(done, [&](std::ostream& out) { out << done << ".\n"; }) ? exit_fine
                                                                           : exit_faults;
}

int take_over(const std::string& folder, calendar::Day day) {
  OpenBook open(folder);
  if (!open.ready()) return exit_faults;
  text::Diagnostics of_record;
  book::follow_record(*open.book, open.sources, of_record);
  for (const text::Diagnostic& d : of_record.sorted()) {
    if (d.severity == text::Severity::error) open.diagnostics.add(d);
  }
  if (open.diagnostics.has_errors()) return nothing_noted(open.diagnostics);
  // What the record tells otherwise is not taken over, and must not get lost unseen.
  text::Diagnostics differing;
  for (const text::Diagnostic& d : of_record.sorted()) {
    if (d.code == "record-differs") differing.add(d);
  }
  report_problems(differing);
  const std::string over = "`recorded` and `done` can ";
  std::vector<record::Entry> entries = book::told_in_batches(*open.book, day);
  if (entries.empty()) {
    const bool told = tell_done("", [&](std::ostream& out) {
      out << "batches.yaml says nothing of what happened that the record does not have: " << over
          << "be taken out of it.\n";
    });
    return told ? exit_fine : exit_faults;
  }
  const int status = note(open, std::move(entries));
  if (status != exit_fine) return status;
  const bool told = tell_done(
      "", [&](std::ostream& out) { out << over << "now be taken out of batches.yaml.\n"; });
  return told ? exit_fine : exit_faults;
}

}  // namespace budwood::app
