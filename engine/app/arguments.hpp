#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "book/book.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"

namespace CLI {
class App;
}

/// Arguments that several commands share.
namespace budwood::app {

/// Where a result goes and what it looks like.
struct ResultArguments {
  std::string format = "table";
  std::string file;  ///< "" for stdout

  /// A format that only some commands have: what is typed, and what it is for.
  struct Extra {
    std::string word;     ///< "svg"
    std::string purpose;  ///< "for a picture"
  };
  void add_to(CLI::App& command, const std::vector<Extra>& extras = {});
  report::Format chosen() const;
  bool is_picture() const { return format == "svg"; }
  bool is_workbook() const { return format == "xlsx"; }
  bool is_calendar() const { return format == "ics"; }
};

/// Which part of a plan is shown; commands describe these options in their own words.
struct FilterArguments {
  std::string batch, from, to, room, crew;
  bool all = false;  ///< batches that are over too

  report::Filter filter() const;
  /// What they mean together: "" when they fit.
  std::string misuse() const;
};

/// The folder of a book; the current one unless told.
void add_book(CLI::App& command, std::string& folder);

/// A book, and the day from which its plan goes on.
struct BookArguments {
  std::string folder = ".";
  std::string today;  ///< a date, "now", or "": the last day of the record
  /// Whole for commands that ask for protocols by name.
  book::LibraryPart library = book::LibraryPart::used;

  void add_to(CLI::App& command);
  void add_today_to(CLI::App& command);
  /// Nothing when nobody says.
  std::optional<calendar::Day> day() const;
};

/// An option that may stand several times, with one value each time.
void add_repeated(CLI::App& command, const std::string& name, std::vector<std::string>& values,
                  const std::string& type, const std::string& description);

/// Changes to try out: `--set BATCH.CELL=VALUE`, as often as needed.
void add_changes(CLI::App& command, std::vector<std::string>& changes);

/// An option that takes a date such as 2027-03-14; anything else is a misuse.
void add_date(CLI::App& command, const std::string& name, std::string& date,
              const std::string& description);

}  // namespace budwood::app
