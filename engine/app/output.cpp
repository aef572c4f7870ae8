#include "app/output.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <ostream>
#include <system_error>

#include "app/console.hpp"
#include "app/descriptor_buffer.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

std::string reason(int error) {
  return std::generic_category().message(error);
}

std::string not_written(const fs::path& path, const std::string& why) {
  return "`" + path.generic_string() + "` was not written: " + why + ".";
}

/// Runs the writer on a descriptor; the system's number of the error, 0 for none.
int write_to(int descriptor, const Writer& writer) {
  DescriptorBuffer buffer(descriptor);
  std::ostream stream(&buffer);
  writer(stream);
  buffer.finish();
  return buffer.error();
}

/// A new file beside the one that it will replace; removed unless it has been put in place.
class TemporaryFile {
 public:
  explicit TemporaryFile(const fs::path& folder) {
    constexpr int tries = 100;
    for (int i = 0; i < tries && descriptor_ < 0; ++i) {
      path_ = folder / (".budwood-" + std::to_string(getpid()) + "-" + std::to_string(i) + ".tmp");
      descriptor_ = ::open(path_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
      error_ = descriptor_ < 0 ? errno : 0;
      if (error_ != EEXIST) break;
    }
  }
  ~TemporaryFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
    if (!path_.empty() && error_ != EEXIST) ::unlink(path_.c_str());
  }
  TemporaryFile(const TemporaryFile&) = delete;
  TemporaryFile& operator=(const TemporaryFile&) = delete;

  int descriptor() const { return descriptor_; }
  int error() const { return error_; }

  /// Makes sure that it is on the disk and gives it its name.
  bool put_in_place(const fs::path& target) {
    if (::fsync(descriptor_) != 0) return fail();
    if (::close(std::exchange(descriptor_, -1)) != 0) return fail();
    if (::rename(path_.c_str(), target.c_str()) != 0) return fail();
    path_.clear();
    return true;
  }

 private:
  bool fail() {
    error_ = errno;
    return false;
  }

  fs::path path_;
  int descriptor_ = -1;
  int error_ = 0;
};

fs::path folder_of(const fs::path& file) {
  return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

/// A new name in a folder lasts only when the folder is on the disk too.
void save_folder(const fs::path& folder) {
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;
  ::fsync(descriptor);
  ::close(descriptor);
}

std::string write_device(const fs::path& path, const Writer& writer) {
  const int descriptor = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
  if (descriptor < 0) return not_written(path, reason(errno));
  int error = write_to(descriptor, writer);
  if (::close(descriptor) != 0 && error == 0) error = errno;
  return error == 0 ? "" : not_written(path, reason(error));
}

}  // namespace

std::string write_to_stdout(const Writer& writer) {
  const int error = write_to(STDOUT_FILENO, writer);
  return error == 0 ? "" : "The result could not be written in full: " + reason(error) + ".";
}

std::string write_to_file(const fs::path& path, const Writer& writer) {
  std::error_code failure;
  const fs::path target =
      fs::is_symlink(path, failure) ? fs::weakly_canonical(path, failure) : path;
  if (failure && failure != std::errc::no_such_file_or_directory) {
    return not_written(path, failure.message());
  }
  const fs::file_status old = fs::status(target, failure);
  if (fs::is_directory(old)) return not_written(path, "it is a folder");
  const bool replaces = fs::exists(old);
  if (replaces && !fs::is_regular_file(old)) return write_device(target, writer);
  const fs::path folder = folder_of(target);
  if (!fs::is_directory(folder, failure)) {
    return not_written(path, "there is no folder `" + folder.generic_string() + "`");
  }
  if (replaces && ::access(target.c_str(), W_OK) != 0) return not_written(path, reason(errno));

  TemporaryFile file(folder);
  if (file.error() != 0) return not_written(path, reason(file.error()));
  if (replaces) ::fchmod(file.descriptor(), static_cast<mode_t>(old.permissions()));
  const int error = write_to(file.descriptor(), writer);
  if (error != 0 || !file.put_in_place(target)) {
    return not_written(path, reason(error != 0 ? error : file.error())) +
           (replaces ? " The file that was there is unchanged." : "");
  }
  save_folder(folder);
  return {};
}

bool write_result(const fs::path& path, const Writer& writer) {
  const std::string problem = path.empty() ? write_to_stdout(writer) : write_to_file(path, writer);
  if (problem.empty()) return true;
  complain(problem);
  return false;
}

}  // namespace budwood::app
