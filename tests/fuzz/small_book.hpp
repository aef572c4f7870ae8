#pragma once

#include <string>

#include "book/book.hpp"
#include "fuzzing.hpp"

namespace budwood::fuzz {

/// A book in memory whose batches A1, A2 and `B-2` follow a small protocol.
class SmallBook {
 public:
  SmallBook();
  book::Book& book() { return book_; }

 private:
  text::Sources sources_;
  book::Book book_;
};

}  // namespace budwood::fuzz
