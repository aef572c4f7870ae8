#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

#include "share/unpack.hpp"

namespace budwood::share {

namespace fs = std::filesystem;

namespace {

std::string reason(int error) {
  return std::generic_category().message(error);
}

/// Writes several files so that all of them come to be, or none.
class Placer {
 public:
  ~Placer() {
    for (const Temporary& one : temporary_) {
      ::unlink(one.name.c_str());
      if (!one.before.empty()) ::unlink(one.before.c_str());
    }
  }
  Placer() = default;
  Placer(const Placer&) = delete;
  Placer& operator=(const Placer&) = delete;

  std::string run(const std::vector<NewFile>& files) {
    for (const NewFile& file : files) {
      if (const std::string why = write(file); !why.empty()) {
        take_back_folders();
        return why + " Nothing was written.";
      }
    }
    for (std::size_t i = 0; i < files.size(); ++i) {
      if (const std::string why = place(files[i], temporary_[i]); !why.empty()) {
        return why + take_back(files, i);
      }
    }
    return "";
  }

 private:
  struct Temporary {
    std::string name;
    std::string before;  ///< the name under which what was there is held; "" when nothing was
  };

  static std::string problem(const fs::path& path, int error) {
    return "`" + path.generic_string() + "` cannot be written: " + reason(error) + ".";
  }

  std::string write(const NewFile& file) {
    std::error_code failure;
    const fs::path folder =
        file.path.parent_path().empty() ? fs::path(".") : file.path.parent_path();
    if (fs::create_directory(folder, failure)) folders_.push_back(folder);
    if (failure) return problem(folder, failure.value());
    std::string name = (folder / ".budwood-XXXXXX").string();
    const int descriptor = ::mkstemp(name.data());
    if (descriptor < 0) return problem(file.path, errno);
    temporary_.push_back({name, ""});
    const int error = fill(descriptor, file.content);
    return error == 0 ? "" : problem(file.path, error);
  }

  static int fill(int descriptor, std::string_view content) {
    int error = 0;
    while (error == 0 && !content.empty()) {
      const ssize_t put = ::write(descriptor, content.data(), content.size());
      if (put < 0) {
        error = errno == EINTR ? 0 : errno;
      } else {
        content.remove_prefix(static_cast<std::size_t>(put));
      }
    }
    constexpr mode_t readable = 0644;
    if (error == 0 && ::fchmod(descriptor, readable) != 0) error = errno;
    if (error == 0 && ::fsync(descriptor) != 0) error = errno;
    if (::close(descriptor) != 0 && error == 0) error = errno;
    return error;
  }

  /// Gives a file a name that nothing has; where files have one name only, instead of the other.
  static int second_name(const fs::path& from, const fs::path& to) {
    if (::link(from.c_str(), to.c_str()) == 0) return 0;
    const int error = errno;
    if (error != EPERM && error != EOPNOTSUPP) return error;
    std::error_code ignored;
    if (fs::exists(fs::symlink_status(to, ignored))) return EEXIST;
    return ::rename(from.c_str(), to.c_str()) == 0 ? 0 : errno;
  }

  /// A new file must not take the place of one that came meanwhile: a second name for it does not.
  static std::string place(const NewFile& file, Temporary& temporary) {
    if (!file.replaces) {
      const int error = second_name(temporary.name, file.path);
      return error == 0 ? "" : problem(file.path, error);
    }
    std::error_code ignored;
    if (fs::exists(file.path, ignored)) {
      const std::string aside = temporary.name + "-before";
      if (const int error = second_name(file.path, aside)) return problem(file.path, error);
      temporary.before = aside;
    }
    return ::rename(temporary.name.c_str(), file.path.c_str()) == 0 ? ""
                                                                    : problem(file.path, errno);
  }

  /// Undoes what was put in place before the file `failed`.
  std::string take_back(const std::vector<NewFile>& files, std::size_t failed) {
    bool whole = true;
    for (std::size_t i = failed + 1; i-- > 0;) {
      const Temporary& one = temporary_[i];
      if (!one.before.empty()) {
        whole = ::rename(one.before.c_str(), files[i].path.c_str()) == 0 && whole;
      } else if (i < failed) {
        whole = ::unlink(files[i].path.c_str()) == 0 && whole;
      }
    }
    take_back_folders();
    return whole ? " What had been put in place was taken back: nothing is changed."
                 : " Not all that had been put in place could be taken back: look through the "
                   "folder.";
  }

  void take_back_folders() {
    for (const Temporary& one : temporary_) ::unlink(one.name.c_str());
    std::error_code ignored;
    for (const fs::path& folder : folders_) fs::remove(folder, ignored);
  }

  std::vector<Temporary> temporary_;
  std::vector<fs::path> folders_;  ///< that were made
};

}  // namespace

std::string put_in_place(const std::vector<NewFile>& files) {
  return Placer().run(files);
}

}  // namespace budwood::share
