#include "files/disk.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <system_error>

namespace budwood::files {

namespace fs = std::filesystem;

namespace {

int error_of(int result) {
  return result < 0 ? errno : 0;
}

}  // namespace

int Disk::create(const fs::path& path, mode_t mode, int& descriptor) {
  descriptor = ::open(path.c_str(), O_RDWR | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, mode);
  return error_of(descriptor);
}

int Disk::write(int descriptor, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
    if (written < 0) {
      if (errno != EINTR) return errno;
      continue;
    }
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
  return 0;
}

int Disk::save(int descriptor) {
  return error_of(::fsync(descriptor));
}

int Disk::save_folder(const fs::path& folder) {
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  // A folder that may be written in but not listed cannot be saved; its files can still be.
  if (descriptor < 0) return errno == EACCES ? 0 : errno;
  const int error = error_of(::fsync(descriptor));
  ::close(descriptor);
  // Some file systems have no such thing.
  return error == EINVAL || error == EOPNOTSUPP ? 0 : error;
}

int Disk::rename(const fs::path& from, const fs::path& to) {
  return error_of(::rename(from.c_str(), to.c_str()));
}

int Disk::link(const fs::path& from, const fs::path& to) {
  return error_of(::link(from.c_str(), to.c_str()));
}

int Disk::remove(const fs::path& file) {
  return error_of(::unlink(file.c_str()));
}

int Disk::make_folder(const fs::path& folder) {
  return error_of(::mkdir(folder.c_str(), 0777));
}

int Disk::remove_folder(const fs::path& folder) {
  return error_of(::rmdir(folder.c_str()));
}

Disk& system_disk() {
  static Disk disk;
  return disk;
}

std::string reason(int error) {
  return std::generic_category().message(error);
}

bool is_there(const fs::path& path) {
  std::error_code ignored;
  return fs::exists(fs::symlink_status(path, ignored));
}

fs::path folder_of(const fs::path& file) {
  return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

}  // namespace budwood::files
