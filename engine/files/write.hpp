/// Files are written whole or not at all.
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <functional>
#include <iosfwd>
#include <string>
#include <string_view>

#include "files/disk.hpp"

namespace budwood::files {

using Writer = std::function<void(std::ostream&)>;

/// Runs the writer on a descriptor; the system's number of the error, 0 for none.
int write_to(int descriptor, const Writer& writer, Disk& disk = system_disk());

/// Writes to a temporary file in the same folder, which takes the place of an older one, with its
/// rights, only when everything is on the disk. Through a link the file that it names is replaced;
/// a link to nothing is refused; a device or pipe is written to as it is. Gives what went wrong, in
/// words, with the older file unchanged; "" when all is well.
std::string write_whole(const std::filesystem::path& path, const Writer& writer,
                        Disk& disk = system_disk());

/// Writes a file under a name that nothing has yet, for these rights. EEXIST when something has it;
/// 0 when all is well.
int write_new(const std::filesystem::path& path, std::string_view bytes, mode_t rights,
              Disk& disk = system_disk());

}  // namespace budwood::files
