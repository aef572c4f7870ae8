#pragma once

#include <filesystem>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "page/open/live_sheet.hpp"
#include "plan/plan.hpp"

namespace budwood::page {

/// The files of a book as they were read, without its record. While nobody changes them, they serve
/// one snapshot after the other.
struct BookFiles {
  explicit BookFiles(const std::filesystem::path& folder);
  BookFiles(const BookFiles&) = delete;
  BookFiles& operator=(const BookFiles&) = delete;

  text::Sources sources;
  text::Diagnostics diagnostics;
  std::optional<book::Book> book;  ///< nothing when there is none
};

/// A book as its files and its record were at one moment, read and planned. Stays where it is made.
/// It is read under its mutex: lines of a record are made when they are asked for.
struct Snapshot {
  Snapshot(std::shared_ptr<const BookFiles> files, std::optional<calendar::Day> today);
  Snapshot(const std::filesystem::path& folder, std::optional<calendar::Day> today);
  Snapshot(const Snapshot&) = delete;
  Snapshot& operator=(const Snapshot&) = delete;

  bool usable() const { return book.has_value(); }
  /// Whether it is known what has happened: the record could be read.
  bool knows_record() const { return knows_record_; }
  /// nullptr when no batch is called so, or it could not be planned.
  const plan::BatchPlan* batch(const std::string& id) const;
  /// What was noted of an order and holds, by its place: "BM27-1/grafting/2/1".
  std::vector<const record::Entry*> noted_of(const std::string& place) const;

  std::mutex mutex;
  std::uint64_t turn = 0;  ///< grows with each that is shown
  const std::shared_ptr<const BookFiles> files;
  text::Sources sources;  ///< of what was noted
  text::Diagnostics diagnostics;
  const std::optional<book::Book>& written;  ///< without its record; nothing when there is no book
  std::optional<book::Book> book;
  plan::Plan plan;
  std::unique_ptr<LiveSheet> live;  ///< its values, with what was changed since
  /// What was answered to questions about the plan, which is worked out once for all who ask it.
  std::map<std::string, std::string> answers;
  std::size_t answers_size = 0;  ///< of all, bytes

 private:
  bool knows_record_ = true;
  std::map<std::string, std::size_t> batches_;
  std::multimap<std::string, std::size_t> noted_;  ///< in the history of the book
};

}  // namespace budwood::page
