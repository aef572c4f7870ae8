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

/// Notes entries in the record of a book, each for itself: one with a mistake does not keep back
/// those of others. What is told as noted is on the disk. `by` is who sends them, "" when nobody
/// said; `sources` is to outlive what is said.
std::vector<TakenEntry> note(OpenBook& book, const std::vector<SentEntry>& sent,
                             const std::string& by, text::Sources& sources);

}  // namespace budwood::page
