#pragma once

#include <sys/types.h>

#include <filesystem>
#include <string>
#include <string_view>

namespace budwood::files {

/// The steps by which files come to be on a disk, one by one, so that a test can let any of them
/// fail. Each gives 0, or the system's number of the error.
class Disk {
 public:
  Disk() = default;
  virtual ~Disk() = default;
  Disk(const Disk&) = delete;
  Disk& operator=(const Disk&) = delete;

  /// A new file, open for writing under `descriptor`. EEXIST when something has that name.
  virtual int create(const std::filesystem::path& path, mode_t mode, int& descriptor);
  /// Writes all of it.
  virtual int write(int descriptor, std::string_view bytes);
  /// Waits until what was written is on the disk.
  virtual int save(int descriptor);
  /// The same for the names in a folder; 0 where a folder cannot be saved at all.
  virtual int save_folder(const std::filesystem::path& folder);
  virtual int rename(const std::filesystem::path& from, const std::filesystem::path& to);
  /// A second name for a file. EEXIST when something has that name.
  virtual int link(const std::filesystem::path& from, const std::filesystem::path& to);
  virtual int remove(const std::filesystem::path& file);
  virtual int make_folder(const std::filesystem::path& folder);
  /// Only when nothing is in it.
  virtual int remove_folder(const std::filesystem::path& folder);
};

/// The disk itself.
Disk& system_disk();

/// The system's words for the number of an error.
std::string reason(int error);

/// How the names begin that this module gives to files in the making.
inline constexpr std::string_view own_front = ".budwood-";

/// Whether anything has that name, be it a link to nothing.
bool is_there(const std::filesystem::path& path);

/// The folder that a file stands in.
std::filesystem::path folder_of(const std::filesystem::path& file);

}  // namespace budwood::files
