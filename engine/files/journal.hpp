/// What is being done to several files, written down before it is begun, so that a later run can
/// take back what was interrupted. Private to this module.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "files/disk.hpp"

namespace budwood::files {

/// One of the files. All paths count from the journal's folder. Names of the module's own stand in
/// the folder of the file, so that they are on the same disk.
struct Step {
  std::filesystem::path target;
  std::filesystem::path fresh;   ///< holds the new content until all is done
  std::filesystem::path before;  ///< a second name for what was there
  bool replaces = false;         ///< something is there that is to be replaced
};

struct Journal {
  std::vector<Step> steps;
  std::vector<std::filesystem::path> folders;  ///< that are made
};

std::string journal_text(const Journal& journal);

/// Nothing when it is cut short (then nothing was begun), or names what no journal of ours would:
/// it may come from strangers, with the folder.
std::optional<Journal> read_journal(std::string_view text);

/// Gives a file a second name, which nothing has: where files can have one name only it is copied,
/// by way of `through`. 0, or the number of the error.
int second_name(const std::filesystem::path& from, const std::filesystem::path& to,
                const std::filesystem::path& through, Disk& disk);

/// Makes everything as it was. False when a step failed; then what was there before is kept under
/// its second name. May be run again.
bool take_back(const Journal& journal, const std::filesystem::path& root, Disk& disk);

/// Removes the module's own files when all is done. False when one stays; may be run again.
bool clean_up(const Journal& journal, const std::filesystem::path& root, Disk& disk);

}  // namespace budwood::files
