#pragma once

#include <string>

#include "page/open/open_book.hpp"

namespace budwood::page {

/// A batch that somebody plans on the page.
struct NewBatch {
  std::string id;
  std::string protocol;  ///< its name
  std::string plants;
  std::string key;  ///< "ready", "start" or "not_before"
  std::string day;
};

/// Adds a batch at the end of batches.yaml. What is wrong with it is reported; then nothing is
/// written. `sources` is to outlive what is said.
void add_batch(OpenBook& book, const NewBatch& batch, text::Sources& sources,
               text::Diagnostics& said);

/// Writes the text of a method of the book. `digest` is that of the text that was changed: when
/// the file says something else by now, nothing is written, and `other` is what it says.
void save_method(OpenBook& book, const std::string& file, const std::string& text,
                 const std::string& digest, text::Diagnostics& said, std::string& other);

}  // namespace budwood::page
