/// Files are read whole, within a limit, and only when they are files: a pipe, a device or what the
/// system makes up while it is read can keep a reader for ever.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

#include "text/text.hpp"

namespace budwood::files {

/// What a written method, a site or a batch list never needs more of.
inline constexpr std::size_t largest_text = 4U << 20U;

/// The bytes of a file, or why there are none.
struct Bytes {
  enum class Failure : std::uint8_t { none, missing, not_a_file, unreadable, too_large };
  std::string bytes;
  Failure failure = Failure::none;
  int error = 0;  ///< the system's number of it, where there is one

  bool ok() const { return failure == Failure::none; }
};

/// Reads a file of at most `limit` bytes.
Bytes read_bytes(const std::filesystem::path& path, std::size_t limit);

/// Why a file was not read, as one diagnostic: no-file, unreadable-file or large-file.
text::Diagnostic refusal(const Bytes& read, const std::filesystem::path& path, std::size_t limit);

/// Reads a text into `sources`. What cannot be read or is not UTF-8 is reported and gives nullptr.
/// A leading byte-order mark is dropped.
const text::Source* read_text(const std::filesystem::path& path, text::Sources& sources,
                              text::Diagnostics& diagnostics, std::size_t limit = largest_text);

/// Marks a file that this run uses without reading it through here, such as a database.
void mark_in_use(const std::filesystem::path& path);

/// Whether this run has read the file that stands at `path`, or uses it, by whatever name. What
/// people name as a place for results must not be that.
bool was_read(const std::filesystem::path& path);

}  // namespace budwood::files
