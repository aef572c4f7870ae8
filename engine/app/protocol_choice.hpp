#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "book/book.hpp"

/// Protocols as they are named on the command line: by a path, and by a name where that holds
/// several.
namespace budwood::app {

/// Whether a folder is a book.
bool is_book(const std::filesystem::path& folder);

/// What a file, a folder of protocols or a book holds.
language::Document read_path(const std::filesystem::path& path, text::Sources& sources,
                             text::Diagnostics& diagnostics);
/// Reports that there is no protocol where one was expected, unless that has a reason already.
void report_none(const std::string& path, text::Diagnostics& diagnostics);

/// The protocol that is asked for as `NAME` or `NAME edition N`; "" asks for the only one. Of a
/// name alone with several editions it is not clear which. nullptr when it cannot be told, which
/// `problem` then says; `place` is where they come from.
const language::Protocol* choose_protocol(const std::vector<language::Protocol>& protocols,
                                          const std::string& wanted, const std::string& place,
                                          std::string& problem);
/// The same for a command that can do nothing without: nullptr when there is none or it cannot be
/// told, after that and the diagnostics have been printed; `status` is the exit status then.
const language::Protocol* find_protocol(const std::vector<language::Protocol>& protocols,
                                        const std::string& wanted, const std::string& place,
                                        text::Diagnostics& diagnostics, int& status);

}  // namespace budwood::app
