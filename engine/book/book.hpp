/// A book: a folder with one site and its batches.
///
/// `read_book` reads and checks `site.yaml`, `batches.yaml` and the protocols in the book's folder
/// and in the one that the site names. Whether the names in them fit each other is checked when
/// plans are made.
#pragma once

#include <filesystem>
#include <optional>
#include <vector>

#include "book/batch.hpp"
#include "book/library.hpp"
#include "book/single_values.hpp"
#include "book/site.hpp"
#include "text/text.hpp"

namespace budwood::book {

struct Book {
  std::filesystem::path folder;
  Site site;
  std::vector<Batch> batches;                 ///< in the order written
  std::vector<language::Protocol> protocols;  ///< by file name; without errors
  std::vector<language::RuleSet> rule_sets;
};

/// The file of a book that keeps what levelling chose.
inline constexpr const char* levelled_file = "levelled.yaml";

/// The text of that file, for the batches that were levelled.
std::string levelled_yaml(const std::vector<Batch>& batches);

/// Reads batches that are only wanted, laid out as in batches.yaml; none when there are mistakes,
/// which are reported. Batches whose names the book has already, and such with cultivars, are
/// mistakes.
std::vector<Batch> read_demand(const std::filesystem::path& file, const Book& book,
                               text::Sources& sources, text::Diagnostics& diagnostics);

/// A batch as an entry for batches.yaml: what it is, when it is ready, and what is fixed of it.
std::string batch_yaml(const Batch& batch);

/// Reads a book and reports everything that is wrong with it. Nothing when a file is missing, is
/// not readable YAML or is not laid out as a book at all. Otherwise entries with mistakes are left
/// out, so that whatever is in the book can be relied on; whether it is complete, `diagnostics`
/// tells.
std::optional<Book> read_book(const std::filesystem::path& folder, text::Sources& sources,
                              text::Diagnostics& diagnostics);

}  // namespace budwood::book
