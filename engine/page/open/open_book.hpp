#pragma once

#include <atomic>
#include <condition_variable>
#include <filesystem>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "book/write/rewrite.hpp"
#include "page/open/events.hpp"
#include "page/open/record_watch.hpp"
#include "page/open/snapshot.hpp"

namespace budwood::page {

/// A book that stays open: whoever changes its files or its record, it is read anew, in the
/// background, and whoever listens to its events is told. Questions are answered from the last one
/// that could be read.
class OpenBook {
 public:
  OpenBook(std::filesystem::path folder, std::optional<calendar::Day> today);
  ~OpenBook();
  OpenBook(const OpenBook&) = delete;
  OpenBook& operator=(const OpenBook&) = delete;

  const std::filesystem::path& folder() const { return folder_; }
  std::shared_ptr<Snapshot> now() const;
  /// Whether the files say something else by now, which is not planned yet.
  bool behind() const { return behind_; }
  /// Why the files as they are now cannot be read, as JSON; "" when they can.
  std::string trouble() const;
  /// Has the files looked at without waiting.
  void look();
  /// What was just written into the files and is seen in `now()` already. A plan of the files as
  /// they were before gets it as well. Called by whoever holds `writing`.
  void kept(const std::vector<plan::Change>& changes);

  Events events;
  /// Whoever changes files of the book holds it, so that one change follows the other.
  std::mutex writing;
  /// The text of batches.yaml as it stands in the folder; nothing, with a finding, when it cannot
  /// be read. Called by whoever holds `writing`.
  book::BatchesText* batches(text::Diagnostics& said);

 private:
  void watch();
  /// Whether anything had changed.
  bool read_anew(bool at_once);
  /// Texts that are others when the files of the book are, or its record is.
  struct Stamps {
    std::string files, record;
    friend bool operator==(const Stamps&, const Stamps&) = default;
  };
  Stamps stamps(const Snapshot& snapshot, bool at_once);

  std::filesystem::path folder_;
  std::optional<calendar::Day> today_;
  mutable std::mutex mutex_;
  std::condition_variable wake_;
  bool wanted_ = false, ended_ = false;
  std::atomic<bool> behind_ = false;
  std::shared_ptr<Snapshot> now_;
  std::string trouble_;
  Stamps stamps_;
  book::BatchesText batches_;       ///< as they were last read or written; see `writing`
  std::vector<plan::Change> kept_;  ///< since the files were last begun to be read; see `writing`
  RecordWatch record_;
  std::thread watcher_;
};

}  // namespace budwood::page
