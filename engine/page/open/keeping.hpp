#pragma once

#include <string>
#include <vector>

#include "page/open/open_book.hpp"

namespace budwood::page {

/// A change as somebody wants it, and what they saw when they wanted it.
struct WantedChange {
  std::string change;  ///< "BM27-1.plants=260", as for `plan::what_if`
  std::string cell;    ///< "batch.plants": what they saw
  std::string was;     ///< "240"; "" when they do not mind what it was
};

/// Somebody else has changed the same value meanwhile.
struct Clash {
  std::string batch, cell, was, is;
};

/// What came of keeping changes.
struct Kept {
  bool done = false;
  text::Diagnostics said;      ///< why it was not done
  std::vector<Clash> clashes;  ///< or what is different
  /// The changes that take these back.
  std::vector<std::string> undo;
  LiveSheet::Outcome outcome;
};

/// Writes changes into batches.yaml, all or none, and makes them in the live sheet; open windows
/// are told which values are others. Only changes of batches can be kept; `sources` is to outlive
/// what is said.
Kept keep(OpenBook& book, const std::vector<WantedChange>& wanted, text::Sources& sources);

/// What a cell of a batch shows in the live sheet; "" when there is no such cell.
std::string shown_now(const Snapshot& snapshot, const plan::BatchPlan& batch,
                      const std::string& cell);

}  // namespace budwood::page
