/// A book: a folder with one site and its batches.
///
/// `read_book` reads and checks `site.yaml`, `batches.yaml` and the protocols in the book's folder
/// and in the one that the site names. Whether the names in them fit each other is checked when
/// plans are made.
#pragma once

#include <filesystem>
#include <optional>
#include <vector>

#include "book/batches/batch.hpp"
#include "book/batches/editions.hpp"
#include "book/recorded/learned_values.hpp"
#include "book/site/site.hpp"
#include "record/history.hpp"
#include "record/store.hpp"
#include "text/text.hpp"

namespace budwood::book {

struct Book {
  std::filesystem::path folder;
  Site site;
  std::vector<Batch> batches;                 ///< in the order written
  std::vector<language::Protocol> protocols;  ///< by file name; without errors
  std::vector<language::RuleSet> rule_sets;
  std::vector<language::SharedTable> tables;  ///< of the files that were read
  language::LeftOut left_out;                 ///< of its library
  std::vector<KeptEdition> kept;              ///< of editions.yaml, in the order written
  std::vector<LearnedValue> learned;          ///< of learned.yaml, in the order written
  /// What happened to its batches, as far as it holds, in the order noted. Dates, counts and orders
  /// done are facts of the batches besides.
  record::History history;
  /// Of whose lines its facts have their places; nullptr: nothing was noted.
  const text::Source* history_lines = nullptr;
  /// The day from which plans go on; nothing: as if nothing had happened yet. The last day of the
  /// record unless somebody says otherwise, so that the same book gives the same plan tomorrow.
  std::optional<calendar::Day> today;
};

/// Where the record of a book is; nothing when the site names a place that cannot be read, which
/// was reported: what is noted must not end up anywhere else.
std::optional<record::Where> record_of(const Book& book);

/// What batches.yaml says under `recorded` and `done`, as entries, where the record says nothing of
/// it. A count without a day gets that on which its stage was over, or else `day`.
std::vector<record::Entry> told_in_batches(const Book& book, calendar::Day day);

/// The edition that a batch says, else the one that is kept for it; nullptr when the newest will
/// do.
inline const Placed<int>* wanted_edition(const Batch& batch) {
  if (batch.edition) return &*batch.edition;
  return batch.kept_edition ? &*batch.kept_edition : nullptr;
}
/// The protocol that a batch follows; nullptr when the book does not have it.
const language::Protocol* protocol_of(const Book& book, const Batch& batch);
/// Whether something of a batch is recorded or done, or its plants were looked at.
bool under_way(const Batch& batch);
/// The rule sets that the site follows, as far as the book has them.
std::vector<const language::RuleSet*> followed_rules(const Book& book);

/// Whether what was kept of a protocol stands, or is taken anew from what it means now.
enum class Keeping : std::uint8_t { as_kept, anew };
/// The text of editions.yaml: what the protocols and rule sets in use mean, and the edition that
/// each batch is on.
std::string editions_yaml(const Book& book, Keeping keeping);

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

/// How much of its library a book reads: all that is there, or the files in which the protocols of
/// its batches stand, the editions that are kept, the rules that it follows, and what these are
/// based on. What is wrong with the others is then not told.
enum class LibraryPart : std::uint8_t { whole, used };

/// Reads a book and reports everything that is wrong with it. Nothing when a file is missing, is
/// not readable YAML or is not laid out as a book at all. Otherwise entries with mistakes are left
/// out, so that whatever is in the book can be relied on; whether it is complete, `diagnostics`
/// tells.
std::optional<Book> read_book(const std::filesystem::path& folder, text::Sources& sources,
                              text::Diagnostics& diagnostics,
                              LibraryPart part = LibraryPart::whole);

/// The same in two steps: the files alone, and then what happened. What the record says becomes
/// facts of the batches: days on which stages began or ended, plants counted, orders done. It goes
/// before what batches.yaml says; where they differ, both are told. The lines of the entries become
/// a source of their own, so that facts have a place.
std::optional<Book> read_written_book(const std::filesystem::path& folder, text::Sources& sources,
                                      text::Diagnostics& diagnostics,
                                      LibraryPart part = LibraryPart::whole);
void follow_record(Book& book, text::Sources& sources, text::Diagnostics& diagnostics);
/// The same with entries from elsewhere, in any order.
void follow(Book& book, std::vector<record::Entry> entries, text::Sources& sources,
            text::Diagnostics& diagnostics);
/// The entry that tells a fact, by the fact's place; nullptr when it stands elsewhere.
const record::Entry* entry_at(const Book& book, const text::Span& place);
/// What entries can name batches by: each batch, and a batch of several cultivars as a whole.
std::vector<std::string> names_of(const std::vector<Batch>& batches);

}  // namespace budwood::book
