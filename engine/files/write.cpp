#include "files/write.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <ostream>
#include <system_error>

#include "files/descriptor_buffer.hpp"
#include "files/temporary_file.hpp"

namespace budwood::files {

namespace fs = std::filesystem;

namespace {

std::string not_written(const fs::path& path, const std::string& why) {
  return "`" + path.generic_string() + "` was not written: " + why + ".";
}

std::string write_device(const fs::path& path, const Writer& writer, Disk& disk) {
  const int descriptor = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
  if (descriptor < 0) return not_written(path, reason(errno));
  int error = write_to(descriptor, writer, disk);
  if (::close(descriptor) != 0 && error == 0) error = errno;
  return error == 0 ? "" : not_written(path, reason(error));
}

/// The file that is meant; "" with the reason when there is none.
fs::path target_of(const fs::path& path, std::string& problem) {
  std::error_code failure;
  const bool link = fs::is_symlink(path, failure);
  if (failure && failure != std::errc::no_such_file_or_directory) {
    problem = not_written(path, failure.message());
    return {};
  }
  if (!link) return path;
  const fs::path target = fs::canonical(path, failure);
  if (!failure) return target;
  const bool dangling = failure == std::errc::no_such_file_or_directory;
  problem =
      not_written(path, dangling ? "it is a link to a file that is not there" : failure.message());
  return {};
}

}  // namespace

int write_to(int descriptor, const Writer& writer, Disk& disk) {
  DescriptorBuffer buffer(descriptor, disk);
  std::ostream stream(&buffer);
  writer(stream);
  buffer.finish();
  return buffer.error();
}

std::string write_whole(const fs::path& path, const Writer& writer, Disk& disk) {
  std::string problem;
  const fs::path target = target_of(path, problem);
  if (!problem.empty()) return problem;
  std::error_code failure;
  const fs::file_status old = fs::status(target, failure);
  if (fs::is_directory(old)) return not_written(path, "it is a folder");
  const bool replaces = fs::exists(old);
  if (replaces && !fs::is_regular_file(old)) return write_device(target, writer, disk);
  const fs::path folder = folder_of(target);
  if (!fs::is_directory(folder, failure)) {
    return not_written(path, "there is no folder `" + folder.generic_string() + "`");
  }
  if (replaces && ::access(target.c_str(), W_OK) != 0) return not_written(path, reason(errno));

  TemporaryFile file(folder, 0666, disk);
  if (file.error() != 0) return not_written(path, reason(file.error()));
  if (replaces) ::fchmod(file.descriptor(), static_cast<mode_t>(old.permissions()));
  int error = write_to(file.descriptor(), writer, disk);
  if (error == 0) error = file.put_in_place(target);
  if (error != 0) {
    return not_written(path, reason(error)) +
           (replaces ? " The file that was there is unchanged." : "");
  }
  error = disk.save_folder(folder);
  if (error == 0) return {};
  return "`" + path.generic_string() +
         "` was written, but whether it lasts is not certain: " + reason(error) + ".";
}

int write_new(const fs::path& path, std::string_view bytes, mode_t rights, Disk& disk) {
  int descriptor = -1;
  int error = disk.create(path, rights, descriptor);
  if (error != 0) return error;
  if (::fchmod(descriptor, rights) != 0) error = errno;
  if (error == 0) error = disk.write(descriptor, bytes);
  if (error == 0) error = disk.save(descriptor);
  ::close(descriptor);
  if (error == 0) return disk.save_folder(folder_of(path));
  disk.remove(path);
  return error;
}

}  // namespace budwood::files
