#include "files/journal.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <system_error>

#include "files/read.hpp"

namespace budwood::files {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view head = "budwood files 1";
constexpr std::string_view foot = "end";
// No name of a file holds a NUL.
constexpr char between = '\0';
constexpr std::size_t largest_content = 64U << 20U;

bool is_own_name(const fs::path& path) {
  return path.filename().native().starts_with(own_front);
}

/// Only what stands beside the journal is ever replaced: elsewhere files are but added, and a file
/// is removed only when its content is that which was to be added.
bool is_sound(const Step& step) {
  const bool own_names = is_own_name(step.fresh) && is_own_name(step.before) &&
                         !is_own_name(step.target) &&
                         step.fresh.parent_path() == step.target.parent_path() &&
                         step.before.parent_path() == step.target.parent_path();
  return own_names && step.target.has_filename() && step.target.is_relative() &&
         (!step.replaces || !step.target.has_parent_path());
}

fs::path copy_name(const Step& step) {
  fs::path out = step.fresh;
  out += ".copy";
  return out;
}

int copy(const fs::path& from, const fs::path& to, Disk& disk) {
  const Bytes content = read_bytes(from, largest_content);
  if (!content.ok()) return content.error != 0 ? content.error : EIO;
  struct stat facts {};
  if (::stat(from.c_str(), &facts) != 0) return errno;
  int descriptor = -1;
  int error = disk.create(to, 0600, descriptor);
  if (error != 0) return error;
  if (::fchmod(descriptor, facts.st_mode & 07777U) != 0) error = errno;
  if (error == 0) error = disk.write(descriptor, content.bytes);
  if (error == 0) error = disk.save(descriptor);
  ::close(descriptor);
  if (error != 0) disk.remove(to);
  return error;
}

/// Whether a file is the one that was put there.
bool is_ours(const fs::path& target, const fs::path& fresh) {
  const Bytes theirs = read_bytes(target, largest_content);
  const Bytes ours = read_bytes(fresh, largest_content);
  return theirs.ok() && ours.ok() && theirs.bytes == ours.bytes;
}

bool remove_if_there(const fs::path& file, Disk& disk) {
  const int error = disk.remove(file);
  return error == 0 || error == ENOENT || error == ENOTDIR;
}

bool take_back(const Step& step, const fs::path& root, Disk& disk) {
  const fs::path target = root / step.target;
  const fs::path before = root / step.before;
  const fs::path fresh = root / step.fresh;
  if (step.replaces) {
    // Without a second name the first was not touched yet.
    if (!is_there(before)) return true;
    if (disk.rename(before, target) != 0) return false;
    return remove_if_there(before, disk);  // two names of one file are left as they are
  }
  if (is_there(fresh) && is_there(target) && is_ours(target, fresh)) {
    return remove_if_there(target, disk);
  }
  return true;
}

}  // namespace

std::string journal_text(const Journal& journal) {
  std::string out;
  const auto add = [&](std::string_view word) {
    out += word;
    out += between;
  };
  add(head);
  for (const Step& step : journal.steps) {
    add(step.replaces ? "replaces" : "adds");
    add(step.target.native());
    add(step.fresh.native());
    add(step.before.native());
  }
  for (const fs::path& folder : journal.folders) {
    add("folder");
    add(folder.native());
  }
  add(foot);
  return out;
}

std::optional<Journal> read_journal(std::string_view text) {
  std::vector<std::string_view> words;
  for (std::size_t end = text.find(between); end != std::string_view::npos;
       end = text.find(between)) {
    words.push_back(text.substr(0, end));
    text.remove_prefix(end + 1);
  }
  if (words.size() < 2 || words.front() != head || words.back() != foot) return std::nullopt;
  Journal out;
  for (std::size_t i = 1; i + 1 < words.size();) {
    const std::size_t left = words.size() - 1 - i;
    if (words[i] == "folder" && left >= 2) {
      out.folders.emplace_back(words[i + 1]);
      i += 2;
    } else if ((words[i] == "replaces" || words[i] == "adds") && left >= 4) {
      out.steps.push_back({fs::path(words[i + 1]), fs::path(words[i + 2]), fs::path(words[i + 3]),
                           words[i] == "replaces"});
      if (!is_sound(out.steps.back())) return std::nullopt;
      i += 4;
    } else {
      return std::nullopt;
    }
  }
  return out;
}

int second_name(const fs::path& from, const fs::path& to, const fs::path& through, Disk& disk) {
  const int error = disk.link(from, to);
  if (error != EPERM && error != EOPNOTSUPP && error != EMLINK) return error;
  if (is_there(to)) return EEXIST;
  if (const int failed = copy(from, through, disk); failed != 0) return failed;
  const int failed = disk.rename(through, to);
  if (failed != 0) disk.remove(through);
  return failed;
}

bool take_back(const Journal& journal, const fs::path& root, Disk& disk) {
  bool whole = true;
  for (auto step = journal.steps.rbegin(); step != journal.steps.rend(); ++step) {
    whole = take_back(*step, root, disk) && whole;
  }
  if (!whole || !clean_up(journal, root, disk)) return false;
  for (auto folder = journal.folders.rbegin(); folder != journal.folders.rend(); ++folder) {
    disk.remove_folder(root / *folder);  // stays when something else has come into it
  }
  return true;
}

bool clean_up(const Journal& journal, const fs::path& root, Disk& disk) {
  bool whole = true;
  for (const Step& step : journal.steps) {
    for (const fs::path& own : {step.fresh, copy_name(step), step.before}) {
      whole = remove_if_there(root / own, disk) && whole;
    }
  }
  return whole;
}

}  // namespace budwood::files
