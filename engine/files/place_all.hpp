/// Several files come to be, or none of them, whatever ends the run.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "files/disk.hpp"

namespace budwood::files {

/// A file that is to be written.
struct NewFile {
  std::filesystem::path path;
  std::string content;
  bool replaces = false;  ///< it may be there already; only a file in the root itself can be
};

/// Writes all of the files or none, in their order. Folders are made where one is missing. A
/// journal in `root`, which is a folder that all runs look into first (`take_back_interrupted`),
/// says what is being done. Signals wait until it is done. Gives what went wrong, in words; "" when
/// all is well.
std::string place_all(const std::vector<NewFile>& files, const std::filesystem::path& root,
                      Disk& disk = system_disk());

/// Takes back what runs that were ended in the middle of `place_all` have left half done under
/// `root`. Gives the files that are as they were before, and what could not be taken back.
struct TakenBack {
  std::vector<std::filesystem::path> files;
  std::vector<std::string> problems;
};
TakenBack take_back_interrupted(const std::filesystem::path& root, Disk& disk = system_disk());

}  // namespace budwood::files
