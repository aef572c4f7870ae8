#include "files/place_all.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <ios>
#include <memory>
#include <random>
#include <sstream>
#include <system_error>
#include <utility>

#include "files/journal.hpp"
#include "files/read.hpp"
#include "files/signals.hpp"
#include "files/temporary_file.hpp"

namespace budwood::files {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view begun = ".begun";
constexpr std::string_view done = ".done";
constexpr std::size_t largest_journal = 4U << 20U;

std::string problem(const fs::path& path, int error) {
  return "`" + path.generic_string() + "` cannot be written: " + reason(error) + ".";
}

/// A journal that is open and held by its lock.
class JournalFile {
 public:
  JournalFile(fs::path path, int descriptor, Disk& disk)
      : disk_(disk), path_(std::move(path)), descriptor_(descriptor) {}
  ~JournalFile() { ::close(descriptor_); }
  JournalFile(const JournalFile&) = delete;
  JournalFile& operator=(const JournalFile&) = delete;

  /// From here on everything stays as it is now.
  int mark_done() {
    fs::path name = path_;
    name.replace_extension(done);
    const int error = disk_.rename(path_, name);
    if (error == 0) path_ = std::move(name);
    return error;
  }
  void remove() { disk_.remove(path_); }

 private:
  Disk& disk_;
  fs::path path_;
  int descriptor_;
};

/// One run of `place_all`.
class Placing {
 public:
  Placing(const std::vector<NewFile>& files, const fs::path& root, Disk& disk)
      : files_(files), root_(fs::weakly_canonical(root)), disk_(disk) {}

  std::string run() {
    if (const std::string why = plan(); !why.empty()) return why + " Nothing was written.";
    std::unique_ptr<JournalFile> journal;
    if (const int error = begin(journal); error != 0) {
      return problem(root_, error) + " Nothing was written.";
    }
    std::string why = make_folders();
    if (why.empty()) why = for_each(&Placing::write);
    if (why.empty()) why = for_each(&Placing::hold);
    if (why.empty()) why = for_each(&Placing::place);
    if (why.empty()) why = save_folders();
    if (why.empty()) {
      if (const int error = journal->mark_done(); error != 0) why = problem(root_, error);
    }
    if (!why.empty()) return why + take_all_back(*journal);
    // A journal that is still said to be begun after a power cut only means that all is taken back.
    const int error = disk_.save_folder(root_);
    if (clean_up(journal_, root_, disk_)) journal->remove();  // else the next run does
    return error == 0
               ? ""
               : "All was written, but whether it lasts is not certain: " + reason(error) + ".";
  }

 private:
  /// Writes down what will be done.
  std::string plan() {
    // Drawn, because names of this run may be left over in folders that others look into.
    std::random_device draw;
    std::ostringstream token;
    token << own_front << std::hex << draw() << draw();
    token_ = token.str();
    for (std::size_t i = 0; i < files_.size(); ++i) {
      if (!files_[i].replaces && is_there(files_[i].path)) return problem(files_[i].path, EEXIST);
      const fs::path folder =
          fs::weakly_canonical(folder_of(files_[i].path)).lexically_proximate(root_);
      const fs::path target = (folder / files_[i].path.filename()).lexically_normal();
      const std::string own = token_ + "-" + std::to_string(i);
      const bool replaces = files_[i].replaces && is_there(files_[i].path);
      if (replaces && target.has_parent_path()) return problem(files_[i].path, EXDEV);
      journal_.steps.push_back({target, target.parent_path() / (own + ".new"),
                                target.parent_path() / (own + ".old"), replaces});
      const bool known = std::find(journal_.folders.begin(), journal_.folders.end(), folder) !=
                         journal_.folders.end();
      if (!known && !is_there(root_ / folder)) {
        journal_.folders.push_back(folder);
      }
    }
    return "";
  }

  int begin(std::unique_ptr<JournalFile>& journal) {
    constexpr int tries = 100;
    const fs::path path = root_ / (token_ + std::string(begun));
    int descriptor = -1;
    int error = EEXIST;
    for (int i = 0; i < tries && error == EEXIST; ++i) {
      error = disk_.create(path, 0600, descriptor);
      if (error != 0 || hold_new_file(descriptor)) continue;
      ::close(descriptor);
      error = EEXIST;
    }
    if (error != 0) return error;
    journal = std::make_unique<JournalFile>(path, descriptor, disk_);
    error = disk_.write(descriptor, journal_text(journal_));
    if (error == 0) error = disk_.save(descriptor);
    if (error == 0) error = disk_.save_folder(root_);
    if (error != 0) journal->remove();
    return error;
  }

  std::string make_folders() {
    for (const fs::path& folder : journal_.folders) {
      const int error = disk_.make_folder(root_ / folder);
      if (error != 0 && error != EEXIST) return problem(root_ / folder, error);
    }
    return "";
  }

  std::string for_each(int (Placing::*action)(const NewFile&, const Step&)) {
    for (std::size_t i = 0; i < files_.size(); ++i) {
      const int error = (this->*action)(files_[i], journal_.steps[i]);
      if (error != 0) return problem(files_[i].path, error);
    }
    return "";
  }

  int write(const NewFile& file, const Step& step) {
    int descriptor = -1;
    int error = disk_.create(root_ / step.fresh, 0666, descriptor);
    if (error != 0) return error;
    struct stat old {};
    if (step.replaces && ::stat(file.path.c_str(), &old) == 0) {
      ::fchmod(descriptor, old.st_mode & 07777U);
    }
    error = disk_.write(descriptor, file.content);
    if (error == 0) error = disk_.save(descriptor);
    ::close(descriptor);
    return error;
  }

  /// Keeps what is there under a second name.
  int hold(const NewFile& /*file*/, const Step& step) {
    if (!step.replaces) return 0;
    return second_name(root_ / step.target, root_ / step.before, through(step), disk_);
  }

  /// A new file must not take the place of one that came meanwhile: a second name for it does not.
  int place(const NewFile& /*file*/, const Step& step) {
    if (step.replaces) return disk_.rename(root_ / step.fresh, root_ / step.target);
    return second_name(root_ / step.fresh, root_ / step.target, through(step), disk_);
  }

  fs::path through(const Step& step) const {
    fs::path out = root_ / step.fresh;
    out += ".copy";
    return out;
  }

  std::string save_folders() {
    std::vector<fs::path> saved;
    for (const NewFile& file : files_) {
      const fs::path folder = folder_of(file.path);
      if (std::find(saved.begin(), saved.end(), folder) != saved.end()) continue;
      if (const int error = disk_.save_folder(folder); error != 0) return problem(folder, error);
      saved.push_back(folder);
    }
    return "";
  }

  std::string take_all_back(JournalFile& journal) {
    if (take_back(journal_, root_, disk_)) {
      journal.remove();
      return " What had been put in place was taken back: nothing is changed.";
    }
    std::string out =
        " Not all that had been put in place could be taken back; the next run tries it again.";
    for (const Step& step : journal_.steps) {
      if (step.replaces && is_there(root_ / step.before)) {
        out += " What `" + (root_ / step.target).generic_string() + "` held is kept in `" +
               (root_ / step.before).generic_string() + "`.";
      }
    }
    return out;
  }

  const std::vector<NewFile>& files_;
  const fs::path root_;  ///< without links
  Disk& disk_;
  std::string token_;
  Journal journal_;
};

/// The journals that no living run holds.
void take_back_one(const fs::path& path, const fs::path& root, Disk& disk, TakenBack& out) {
  const int descriptor = ::open(path.c_str(), O_RDWR | O_NONBLOCK | O_NOFOLLOW | O_CLOEXEC);
  if (descriptor < 0) return;
  JournalFile file(path, descriptor, disk);
  struct stat facts {};
  const bool ours =
      ::fstat(descriptor, &facts) == 0 && S_ISREG(facts.st_mode) && facts.st_uid == ::geteuid();
  // It may have been finished between the listing and the lock.
  if (!ours || !lock_file(descriptor) || !is_there(path)) return;
  const Bytes text = read_bytes(path, largest_journal);
  if (!text.ok()) return;
  if (const auto journal = read_journal(text.bytes)) {
    if (path.extension() == done) {
      if (!clean_up(*journal, root, disk)) return;
    } else if (take_back(*journal, root, disk)) {
      for (const Step& step : journal->steps) out.files.push_back(root / step.target);
    } else {
      out.problems.push_back("What an interrupted run had begun in `" + root.generic_string() +
                             "` cannot be taken back.");
      return;
    }
  }
  file.remove();
}

}  // namespace

std::string place_all(const std::vector<NewFile>& files, const fs::path& root, Disk& disk) {
  const HeldSignals until_done;
  return Placing(files, root.empty() ? fs::path(".") : root, disk).run();
}

TakenBack take_back_interrupted(const fs::path& root, Disk& disk) {
  const HeldSignals until_done;
  std::vector<fs::path> journals;
  std::error_code failure;
  for (fs::directory_iterator i(root, failure), end; !failure && i != end; i.increment(failure)) {
    const fs::path& path = i->path();
    const bool named = path.filename().native().starts_with(own_front);
    if (named && (path.extension() == begun || path.extension() == done)) journals.push_back(path);
  }
  std::sort(journals.begin(), journals.end());
  TakenBack out;
  for (const fs::path& path : journals) take_back_one(path, root, disk, out);
  return out;
}

}  // namespace budwood::files
