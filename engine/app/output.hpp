#pragma once

#include <filesystem>
#include <functional>
#include <iosfwd>
#include <string>

namespace budwood::app {

using Writer = std::function<void(std::ostream&)>;

/// To the file that people named for the result, or to stdout when `path` is empty. Complains and
/// gives false when it went wrong. What this run has read (the book, a protocol, a pack, a key) is
/// not written over; what belongs to a record is written by nothing but the record.
bool write_result(const std::filesystem::path& path, const Writer& writer);

/// The same for a file that is read to be replaced: one that the book keeps, or an older calendar.
bool replace_file(const std::filesystem::path& path, const Writer& writer);

/// Tells on stdout what was done to files. Complains and gives false when it cannot be told; `done`
/// says in the complaint what was done all the same, such as "`a.zip` was written".
bool tell_done(const std::string& done, const Writer& writer);

}  // namespace budwood::app
