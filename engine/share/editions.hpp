#pragma once

#include <optional>
#include <string>
#include <vector>

#include "book/book.hpp"

namespace budwood::share {

/// A protocol or rule set with its edition, and what rests on it.
struct EditionFacts {
  bool rule_set = false;
  std::string name;
  int edition = 1;
  std::string title;
  std::string fingerprint;
  std::vector<std::string> rests_on;  ///< "bench_graft edition 2"
  std::vector<std::string> batches;   ///< of a book, each once, in the order written
  bool followed = false;              ///< of a rule set: by the site
  bool changed = false;               ///< it means something else than what the book kept
  text::Span span;
};

/// What a protocol rests on, without itself, the nearest first.
std::vector<language::Layer> bases_of(const language::Protocol& protocol);
/// "bench_graft edition 2"
std::string described(const language::Layer& layer);

/// What a folder or book holds, by name and edition, protocols first.
std::vector<EditionFacts> list_editions(const language::Document& document);
std::vector<EditionFacts> list_editions(const book::Book& book);

/// Moves a batch to another edition of its protocol, to the newest unless told. Nothing is written:
/// `book::editions_yaml` has it then. Gives what is in the way, in words; "" when nothing is.
std::string move_batch(book::Book& book, const std::string& batch, std::optional<int> edition);

/// The book with all batches that follow one protocol on another one instead, which the book need
/// not have; it has to be the site's own (`book::make_own`).
book::Book with_other_protocol(const book::Book& book, const language::Protocol& from,
                               const language::Protocol& to);

}  // namespace budwood::share
