#include "files/temporary_file.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <system_error>
#include <utility>

#include "files/signals.hpp"

namespace budwood::files {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view ending = ".tmp";

bool has_name(int descriptor) {
  struct stat facts {};
  return ::fstat(descriptor, &facts) == 0 && facts.st_nlink > 0;
}

/// Removes a file that nobody holds. Somebody else's, or what is no file, is left alone.
void remove_left_over(const fs::path& path) {
  const int descriptor = ::open(path.c_str(), O_RDWR | O_NONBLOCK | O_NOFOLLOW | O_CLOEXEC);
  if (descriptor < 0) return;
  struct stat facts {};
  const bool ours =
      ::fstat(descriptor, &facts) == 0 && S_ISREG(facts.st_mode) && facts.st_uid == ::geteuid();
  if (ours && lock_file(descriptor)) ::unlink(path.c_str());
  ::close(descriptor);
}

/// What runs that ended in the middle have left in a folder.
void remove_left_overs(const fs::path& folder) {
  std::error_code failure;
  for (fs::directory_iterator i(folder, failure), end; !failure && i != end; i.increment(failure)) {
    const std::string name = i->path().filename().string();
    if (name.starts_with(own_front) && name.ends_with(ending)) remove_left_over(i->path());
  }
}

}  // namespace

bool lock_file(int descriptor) {
  return ::flock(descriptor, LOCK_EX | LOCK_NB) == 0;
}

bool hold_new_file(int descriptor) {
  const bool free = lock_file(descriptor) || errno != EWOULDBLOCK;
  return free && has_name(descriptor);
}

TemporaryFile::TemporaryFile(const fs::path& folder, mode_t rights, Disk& disk) : disk_(disk) {
  remove_left_overs(folder);
  constexpr int tries = 100;
  const HeldSignals held;  // no moment in which the file is there and not yet known to the handler
  for (int i = 0; i < tries && descriptor_ < 0; ++i) {
    path_ = folder / (std::string(own_front) + std::to_string(getpid()) + "-" + std::to_string(i) +
                      std::string(ending));
    error_ = disk_.create(path_, rights, descriptor_);
    if (error_ == EEXIST) continue;
    if (error_ != 0) break;
    if (hold_new_file(descriptor_)) break;
    ::close(std::exchange(descriptor_, -1));
    error_ = EEXIST;
  }
  if (descriptor_ >= 0) removed_on_signal_ = std::make_unique<RemovedOnSignal>(path_);
}

TemporaryFile::~TemporaryFile() {
  if (descriptor_ < 0) return;
  if (!path_.empty()) disk_.remove(path_);
  ::close(descriptor_);
}

int TemporaryFile::put_in_place(const fs::path& target) {
  error_ = disk_.save(descriptor_);
  if (error_ == 0) error_ = disk_.rename(path_, target);
  if (error_ == 0) {
    path_.clear();
    removed_on_signal_.reset();
  }
  return error_;
}

}  // namespace budwood::files
