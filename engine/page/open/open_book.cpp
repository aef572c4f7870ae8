#include "page/open/open_book.hpp"

#include <algorithm>
#include <utility>

#include "files/read.hpp"
#include "page/views/json.hpp"

namespace budwood::page {

namespace fs = std::filesystem;

namespace {

constexpr auto between_looks = std::chrono::milliseconds(700);

/// Whether a file belongs to the record, and its name, size and time.
using Stamp = std::pair<bool, std::string>;

void add_stamps(const fs::path& folder, bool of_book, std::vector<Stamp>& out) {
  std::error_code failure;
  for (fs::directory_iterator i(folder, failure), end; !failure && i != end; i.increment(failure)) {
    std::error_code ignored;
    const fs::path& path = i->path();
    const std::string name = path.filename().string();
    if (!of_book && path.extension() != ".bud") continue;
    // What SQLite keeps for readers alone changes when somebody reads.
    if (name.ends_with("-shm") || !i->is_regular_file(ignored)) continue;
    out.emplace_back(record::is_of_record(path),
                     path.string() + " " + std::to_string(i->file_size(ignored)) + " " +
                         std::to_string(i->last_write_time(ignored).time_since_epoch().count()));
  }
}

}  // namespace

OpenBook::OpenBook(fs::path folder, std::optional<calendar::Day> today)
    : folder_(std::move(folder)), today_(today) {
  now_ = std::make_shared<Snapshot>(folder_, today_);
  now_->turn = 1;
  stamps_ = stamps(*now_, true);
  watcher_ = std::thread([this] { watch(); });
}

OpenBook::~OpenBook() {
  {
    const std::lock_guard lock(mutex_);
    ended_ = true;
  }
  wake_.notify_all();
  watcher_.join();
}

std::shared_ptr<Snapshot> OpenBook::now() const {
  const std::lock_guard lock(mutex_);
  return now_;
}

std::string OpenBook::trouble() const {
  const std::lock_guard lock(mutex_);
  return trouble_;
}

void OpenBook::kept(const std::vector<plan::Change>& changes) {
  kept_.insert(kept_.end(), changes.begin(), changes.end());
}

book::BatchesText* OpenBook::batches(text::Diagnostics& said) {
  const fs::path file = folder_ / "batches.yaml";
  files::Bytes read = files::read_bytes(file, files::largest_text);
  if (!read.ok()) {
    said.add(files::refusal(read, file, files::largest_text));
    return nullptr;
  }
  if (!batches_.is(read.bytes)) batches_ = book::BatchesText(std::move(read.bytes));
  return &batches_;
}

void OpenBook::look() {
  {
    const std::lock_guard lock(mutex_);
    wanted_ = true;
  }
  wake_.notify_all();
}

OpenBook::Stamps OpenBook::stamps(const Snapshot& snapshot, bool at_once) {
  std::vector<fs::path> folders = {folder_, folder_ / "rules"};
  if (snapshot.written && snapshot.written->site.protocols) {
    const fs::path library = folder_ / snapshot.written->site.protocols->value;
    folders.insert(folders.end(), {library, library / "rules"});
  }
  std::vector<Stamp> all;
  for (std::size_t i = 0; i < folders.size(); ++i) add_stamps(folders[i], i == 0, all);
  std::sort(all.begin(), all.end());
  Stamps out;
  for (const auto& [of_record, text] : all) (of_record ? out.record : out.files) += text + "\n";
  if (snapshot.written) out.record += record_.stamp(*snapshot.written, at_once);
  return out;
}

void OpenBook::watch() {
  {
    // So that the first change does not wait for it.
    const std::lock_guard still(writing);
    text::Diagnostics told_with_the_plan;
    batches(told_with_the_plan);
  }
  while (true) {
    bool now = false;
    {
      std::unique_lock lock(mutex_);
      wake_.wait_for(lock, between_looks, [this] { return wanted_ || ended_; });
      if (ended_) return;
      now = std::exchange(wanted_, false);
    }
    const auto begun = std::chrono::steady_clock::now();
    if (!read_anew(now)) continue;
    // While entries come in all the time, planning leaves the machine to those who note them.
    const auto rest = (std::chrono::steady_clock::now() - begun) / 2;
    std::unique_lock lock(mutex_);
    wake_.wait_for(lock, rest, [this] { return ended_; });
  }
}

bool OpenBook::read_anew(bool at_once) {
  const std::shared_ptr<Snapshot> old = now();
  {
    const std::lock_guard still(writing);
    kept_.clear();
  }
  Stamps found = stamps(*old, at_once);
  if (found == stamps_) return false;
  behind_ = true;
  events.tell("behind", "{}");
  // Who only notes something changes no file that would have to be read.
  const bool same_files = found.files == stamps_.files && trouble().empty();
  auto fresh = same_files ? std::make_shared<Snapshot>(old->files, today_)
                          : std::make_shared<Snapshot>(folder_, today_);
  const Stamps again = stamps(*fresh, true);
  {
    // Nobody sees a value go back to what it was because it was kept while the files were read.
    const std::lock_guard still(writing);
    if (fresh->usable() && !kept_.empty()) fresh->live->make(fresh->plan, kept_);
    const std::lock_guard lock(mutex_);
    stamps_ = std::move(found);
    // A plan that has forgotten what happened is none, as long as there is one that knows.
    const bool fine = fresh->usable() && (fresh->knows_record() || !old->knows_record());
    trouble_ = fine ? "" : diagnostics_json(fresh->diagnostics).dump();
    if (fine) {
      fresh->turn = old->turn + 1;
      now_ = fresh;
    }
    // While it was read somebody may have written more.
    wanted_ = wanted_ || again != stamps_;
    behind_ = wanted_;
  }
  events.tell("planned", Json({{"turn", now()->turn}}).dump());
  return true;
}

}  // namespace budwood::page
