#pragma once

#include <filesystem>
#include <functional>
#include <iosfwd>
#include <string>

namespace budwood::app {

using Writer = std::function<void(std::ostream&)>;

/// Writes to stdout. Gives what went wrong, in words; "" when everything has been written.
std::string write_to_stdout(const Writer& writer);

/// Writes a file whole or not at all: to a temporary file in the same folder, which takes the place
/// of an older one only when everything is on the disk. Through a link the file that it names is
/// replaced; a device or pipe is written to as it is. Gives what went wrong, in words, with the
/// older file unchanged; "" when all is well.
std::string write_to_file(const std::filesystem::path& path, const Writer& writer);

/// To a file, or to stdout when `path` is empty. Complains and gives false when it went wrong.
bool write_result(const std::filesystem::path& path, const Writer& writer);

}  // namespace budwood::app
