#include "files/read.hpp"

#include <fcntl.h>
#include <linux/magic.h>
#include <sys/stat.h>
#include <sys/vfs.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <mutex>
#include <set>
#include <utility>

#include "files/held.hpp"

namespace budwood::files {

namespace fs = std::filesystem;

namespace {

using Identity = std::pair<dev_t, ino_t>;

/// Which files this run has read. Names would not do: a file has as many as it has links.
class ReadFiles {
 public:
  void add(const struct stat& file) {
    const std::lock_guard lock(mutex_);
    files_.emplace(file.st_dev, file.st_ino);
  }
  bool holds(const struct stat& file) {
    const std::lock_guard lock(mutex_);
    return files_.contains({file.st_dev, file.st_ino});
  }

 private:
  std::mutex mutex_;
  std::set<Identity> files_;
};

ReadFiles& read_files() {
  static ReadFiles files;
  return files;
}

/// Closes a descriptor at the end of its scope.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ >= 0) ::close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int number() const { return number_; }

 private:
  int number_;
};

/// What the kernel tells under the name of a file: it is said to be one, but its end may never
/// come.
bool is_made_up(int descriptor) {
  struct statfs system {};
  if (::fstatfs(descriptor, &system) != 0) return false;
  const auto kind = static_cast<unsigned long>(system.f_type);
  constexpr auto kinds = std::to_array<unsigned long>(
      {PROC_SUPER_MAGIC, SYSFS_MAGIC, DEBUGFS_MAGIC, TRACEFS_MAGIC, SECURITYFS_MAGIC});
  return std::find(kinds.begin(), kinds.end(), kind) != kinds.end();
}

Bytes failed(Bytes::Failure failure, int error = 0) {
  return {{}, failure, error};
}

}  // namespace

Bytes read_bytes(const fs::path& path, std::size_t limit) {
  // Without waiting: opening a pipe would wait for somebody who writes.
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC));
  if (file.number() < 0) {
    const bool missing = errno == ENOENT || errno == ENOTDIR;
    const bool no_file = errno == ENXIO || errno == ENODEV;  // a socket, a device without a driver
    if (missing) return failed(Bytes::Failure::missing, errno);
    return failed(no_file ? Bytes::Failure::not_a_file : Bytes::Failure::unreadable, errno);
  }
  struct stat facts {};
  if (::fstat(file.number(), &facts) != 0) return failed(Bytes::Failure::unreadable, errno);
  if (!S_ISREG(facts.st_mode) || is_made_up(file.number())) {
    return failed(Bytes::Failure::not_a_file);
  }
  read_files().add(facts);
  // In pieces, and no further than just past the limit, whatever size the system reports.
  Bytes out;
  std::array<char, 64U << 10U> piece;
  while (out.bytes.size() <= limit) {
    const ssize_t got = ::read(file.number(), piece.data(), piece.size());
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return failed(Bytes::Failure::unreadable, errno);
    if (got == 0) return out;
    out.bytes.append(piece.data(), static_cast<std::size_t>(got));
  }
  return failed(Bytes::Failure::too_large);
}

text::Diagnostic refusal(const Bytes& read, const fs::path& path, std::size_t limit) {
  const std::string name = "`" + path.generic_string() + "`";
  text::Diagnostic out;
  out.code = "unreadable-file";
  switch (read.failure) {
    case Bytes::Failure::missing:
      out.code = "no-file";
      out.message = "There is no file " + name + ".";
      out.advice = "Check the path.";
      break;
    case Bytes::Failure::too_large:
      out.code = "large-file";
      out.message = name + " is larger than " +
                    (limit >> 20U > 0 ? std::to_string(limit >> 20U) + " MB"
                                      : std::to_string(limit) + " bytes") +
                    ", which no such file needs.";
      out.advice = "Split it, or check that this is the right file.";
      break;
    case Bytes::Failure::not_a_file:
      out.message = name + " is not a file that can be read.";
      break;
    case Bytes::Failure::none:
    case Bytes::Failure::unreadable:
      out.message = name + " cannot be read.";
      out.advice = "Check that you may read it.";
      break;
  }
  return out;
}

const text::Source* read_text(const fs::path& path, text::Sources& sources,
                              text::Diagnostics& diagnostics, std::size_t limit) {
  Bytes read;
  if (const std::string* held = held_text(path)) {
    read.bytes = *held;
  } else {
    read = read_bytes(path, limit);
  }
  if (!read.ok()) {
    diagnostics.add(refusal(read, path, limit));
    return nullptr;
  }
  if (read.bytes.starts_with("\xEF\xBB\xBF")) read.bytes.erase(0, 3);
  const text::Source& source = sources.add(path.generic_string(), std::move(read.bytes));
  return text::is_text(source, diagnostics) ? &source : nullptr;
}

void mark_in_use(const fs::path& path) {
  struct stat facts {};
  if (::stat(path.c_str(), &facts) == 0) read_files().add(facts);
}

bool was_read(const fs::path& path) {
  struct stat facts {};
  return ::stat(path.c_str(), &facts) == 0 && read_files().holds(facts);
}

}  // namespace budwood::files
