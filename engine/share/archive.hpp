/// Files in one ZIP archive, held in memory.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace budwood::share {

struct ArchivedFile {
  std::string path;  ///< "protocols/bench_graft.bud"
  std::string content;
};

/// More than any exchange of methods needs.
inline constexpr std::size_t most_entries = 1000;
inline constexpr std::size_t largest_entry = 1U << 20U;
inline constexpr std::size_t largest_content = 64U << 20U;
/// An archive as it lies on the disk.
inline constexpr std::size_t largest_archive = 80U << 20U;

/// The archive of these files, sorted by path. The same files give the same bytes on every machine:
/// without times and owners, and stored as they are, because compressed bytes differ between
/// versions of what compresses.
std::string write_archive(std::vector<ArchivedFile> files);

/// What an archive holds; `problem` says in words why it is refused.
struct ReadArchive {
  std::vector<ArchivedFile> files;  ///< in the order of the archive; none when it is refused
  std::string problem;
};

/// Reads an archive of which nothing is trusted. Refused is all but plain files with plain names
/// (letters, digits, `_ - .`) in at most two folders: links, devices, folders, encrypted entries,
/// names that lead elsewhere, the same name twice or in other letters, and more than the limits.
ReadArchive read_archive(std::string_view bytes);

/// Whether a path is plain enough to be in an archive.
bool is_plain_path(std::string_view path);

}  // namespace budwood::share
