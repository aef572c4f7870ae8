#pragma once

#include <string>
#include <vector>

#include "page/open/open_book.hpp"

namespace budwood::page {

/// An entry as a browser sends it: the line that `budwood record` takes, and an id that the browser
/// has made, so that sending it twice does no harm.
struct SentEntry {
  std::string id;
  std::string line;
};

/// What became of it.
struct TakenEntry {
  enum class State : std::uint8_t { noted, known, refused };
  std::string id;
  State state = State::refused;
  std::string line;        ///< as the record has it
  text::Diagnostics said;  ///< why it was refused, or what is odd about it
};

/// Who sends entries.
struct Noter {
  std::string name;        ///< "" when nobody said
  bool for_others = true;  ///< an entry may bear another name: somebody notes what Ana did
};

/// Notes entries in the record of a book, each for itself: one with a mistake does not keep back
/// those of others. What is told as noted is on the disk. `sources` is to outlive what is said.
std::vector<TakenEntry> note(OpenBook& book, const std::vector<SentEntry>& sent, const Noter& noter,
                             text::Sources& sources);

}  // namespace budwood::page
