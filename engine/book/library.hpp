#pragma once

#include <filesystem>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "book/site/site.hpp"
#include "language/language.hpp"
#include "language/rules/rules.hpp"

namespace budwood::book {

/// A folder of protocols, and where it is named; no place when it is the book's own.
struct LibraryFolder {
  std::filesystem::path path;
  text::Span span;
};

/// Names of protocols and rule sets that somebody wants of a library; nothing: all that it has.
using WantedNames = std::optional<std::set<std::string>>;

/// Reads the protocols, rule sets and shared tables (*.bud) in some folders and in `rules` under
/// each, folder by folder in the order of the file names. Protocols can be based on others in any
/// of them. A folder that is not there is reported; so are two protocols or rule sets of one name
/// and edition. Where only some are wanted, files that hold neither these nor what they are based
/// on or look up are passed over; but where one of them is nowhere, all are read.
language::Document read_library(const std::vector<LibraryFolder>& folders,
                                const WantedNames& wanted, text::Sources& sources,
                                text::Diagnostics& diagnostics);

/// Takes back what a run that was interrupted while it unpacked a pack has left in a folder, and
/// tells so. A folder is read as it was before, or with all that is new, never with a part.
void take_back_interrupted(const std::filesystem::path& folder, text::Diagnostics& diagnostics);

/// The protocols and rule sets of some files. What they are based on, and tables in which they look
/// something up, may also stand in other files of the same folders; nothing of those is reported or
/// returned.
language::Document read_files(const std::vector<std::filesystem::path>& files,
                              text::Sources& sources, text::Diagnostics& diagnostics);

/// The newest edition of a rule set; nullptr when there is none.
const language::RuleSet* newest_rules(const std::vector<language::RuleSet>& sets,
                                      const std::string& name);

/// Makes protocols those of a site: its own names and units, the rules that it follows and what it
/// waives of them.
void make_own(const Site& site, text::Diagnostics& diagnostics, language::Document& library);

}  // namespace budwood::book
