#pragma once

#include <memory>
#include <vector>

#include "record/entry.hpp"

namespace budwood::record {

/// Entries that many hold and nobody changes: copies share them, and so do the lines that tell of
/// them later.
class History {
 public:
  History() : History(std::vector<Entry>()) {}
  explicit History(std::vector<Entry> entries)
      : entries_(std::make_shared<const std::vector<Entry>>(std::move(entries))) {}

  auto begin() const { return entries_->begin(); }
  auto end() const { return entries_->end(); }
  std::size_t size() const { return entries_->size(); }
  bool empty() const { return entries_->empty(); }
  const Entry& operator[](std::size_t place) const { return (*entries_)[place]; }
  /// Others that hold it keep what they have.
  void push_back(Entry entry) {
    std::vector<Entry> more = *entries_;
    more.push_back(std::move(entry));
    *this = History(std::move(more));
  }

 private:
  std::shared_ptr<const std::vector<Entry>> entries_;
};

}  // namespace budwood::record
