#pragma once

#include <string>
#include <vector>

#include "book/book.hpp"
#include "record/understand.hpp"

namespace budwood::app {

/// Notes entries, all or none, and tells what was noted. Each gives the status to leave with.

/// Lines as they were typed, and those of a file.
int note_lines(const std::string& folder, const std::vector<std::string>& lines,
               const std::string& file, const record::Usual& usual);
/// What `--export` wrote.
int import_entries(const std::string& folder, const std::string& file);
/// What batches.yaml says happened.
int take_over(const std::string& folder);

}  // namespace budwood::app
