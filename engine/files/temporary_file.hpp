#pragma once

#include <filesystem>
#include <memory>

#include "files/disk.hpp"

namespace budwood::files {

class RemovedOnSignal;

/// A new file that is there while it lives, unless it is put in place of another. It is held by a
/// lock, so that a later run can tell that nobody works on it any more; those are removed first.
class TemporaryFile {
 public:
  /// `rights` are what the user's mask leaves of them.
  explicit TemporaryFile(const std::filesystem::path& folder, mode_t rights = 0666,
                         Disk& disk = system_disk());
  ~TemporaryFile();
  TemporaryFile(const TemporaryFile&) = delete;
  TemporaryFile& operator=(const TemporaryFile&) = delete;

  const std::filesystem::path& path() const { return path_; }
  int descriptor() const { return descriptor_; }
  /// The system's number of what went wrong; 0 when it is there.
  int error() const { return error_; }

  /// Makes sure that it is on the disk and gives it its name. 0, or the number of the error.
  int put_in_place(const std::filesystem::path& target);

 private:
  Disk& disk_;
  std::filesystem::path path_;
  int descriptor_ = -1;
  int error_ = 0;
  std::unique_ptr<RemovedOnSignal> removed_on_signal_;
};

/// From now on a signal that ends the program removes its temporary files first.
void remove_temporary_files_on_signals();

/// Takes the lock by which others tell that a file is in use; false when somebody else has it.
bool lock_file(int descriptor);
/// The same for a file that was just made; false when another run took it for left over before it
/// was locked: then it has to be made anew. Where there are no locks nothing is ever taken for
/// that.
bool hold_new_file(int descriptor);

}  // namespace budwood::files
