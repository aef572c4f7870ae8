#pragma once

#include <chrono>
#include <memory>
#include <string>

#include "book/book.hpp"
#include "record/store.hpp"

namespace budwood::page {

/// Notices that somebody has noted something in a record that is kept in a server: whoever does,
/// on whatever machine, changes no file of the book.
class RecordWatch {
 public:
  /// A text that is another one when the record is, or when its server no longer answers, or does
  /// again; "" for a record in a file, whose own stamp tells. The server is asked every two seconds
  /// at most, but for `at_once`.
  std::string stamp(const book::Book& written, bool at_once);

 private:
  void ask();

  std::string server_;
  std::unique_ptr<record::Store> store_;
  std::string said_;  ///< the number of entries; or why there is none
  std::chrono::steady_clock::time_point asked_;
};

}  // namespace budwood::page
