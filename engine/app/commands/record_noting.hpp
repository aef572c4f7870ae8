#pragma once

#include <string>
#include <vector>

#include "book/book.hpp"
#include "record/understand.hpp"

namespace budwood::app {

/// Notes entries, all or none, and tells what was noted. Each gives the status to leave with.

/// Lines as they were typed, and those of a file: lines too, or a work sheet that came back (CSV,
/// XLSX). Of a sheet what is noted already is passed over, so that it does no harm twice.
int note_lines(const std::string& folder, const std::vector<std::string>& lines,
               const std::string& file, const record::Usual& usual);
/// "1 entry", "12 entries".
std::string entries_text(std::size_t number);
/// Whether a file is such a sheet, by its name.
bool is_sheet(const std::string& file);
/// What `--export` wrote.
int import_entries(const std::string& folder, const std::string& file);
/// What batches.yaml says happened; a count without a day gets `day`.
int take_over(const std::string& folder, calendar::Day day);

}  // namespace budwood::app
