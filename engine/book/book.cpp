#include "book/book.hpp"
#include "book/batches/batch.hpp"
#include "book/library.hpp"
#include "book/with_library.hpp"

#include <algorithm>
#include <iterator>
#include <set>
#include <string>
#include <system_error>

#include "book/batches/batches_reader.hpp"
#include "book/batches/demand_reader.hpp"
#include "book/batches/editions_reader.hpp"
#include "book/batches/levelled_reader.hpp"
#include "book/recorded/learned_reader.hpp"
#include "book/rounds/rounds.hpp"
#include "book/site/site_reader.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "files/place_all.hpp"
#include "files/read.hpp"
#include "files/shipped.hpp"

namespace budwood::book {

namespace {

/// Room for some 70,000 batches, about as many as the values that a tree may have.
constexpr std::size_t largest_file = 16U << 20U;

/// The tree of a file that has something in it.
std::optional<Node> read_file(const std::filesystem::path& path, text::Sources& sources,
                              text::Diagnostics& diagnostics) {
  const text::Source* source = files::read_text(path, sources, diagnostics, largest_file);
  if (source == nullptr) return std::nullopt;
  std::optional<Node> tree = read_tree(*source, diagnostics);
  if (tree && tree->kind == Node::Kind::null) {
    diagnostics.error("empty-file", {source, 0, 0}, "There is nothing in this file.",
                      "See the examples for what belongs here.");
    return std::nullopt;
  }
  return tree;
}

/// The names of what the batches of a book need of its library. Rounds bring their methods along.
std::set<std::string> wanted_of(const Book& book, const std::vector<language::Protocol>& rounds) {
  std::set<std::string> out;
  for (const Batch& batch : book.batches) out.insert(language::method_of(batch.protocol.value));
  for (const KeptEdition& one : book.kept) out.insert(language::method_of(one.name));
  for (const Placed<std::string>& name : book.site.rules) out.insert(name.value);
  for (const language::Protocol& one : rounds) out.erase(one.name);
  return out;
}

/// Whether two paths lead to one folder, which is then read once.
bool same_folder(const std::filesystem::path& one, const std::filesystem::path& other) {
  std::error_code failure;
  return std::filesystem::equivalent(one, other, failure) && !failure;
}

}  // namespace

std::vector<Batch> read_demand(const std::filesystem::path& file, const Book& book,
                               text::Sources& sources, text::Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  const std::optional<Node> tree = read_file(file, sources, diagnostics);
  if (!tree) return {};
  std::vector<Batch> wanted = split_by_promise(read_batches(*tree, book.site, diagnostics));
  for (const Batch& batch : wanted) {
    const bool taken = std::any_of(book.batches.begin(), book.batches.end(), [&](const Batch& one) {
      return one.id.value == batch.id.value;
    });
    if (taken) {
      diagnostics.error("duplicate-batch", batch.id.span,
                        "The book has a batch `" + batch.id.value + "` already.",
                        "Give what is wanted a name of its own.");
    }
    if (!batch.cultivar.empty() && batch.lead) {
      diagnostics.error("cultivars-wanted", batch.span,
                        "What is wanted cannot have cultivars: batches that are split would mix "
                        "them up.",
                        "Want each cultivar as a batch of its own.");
    }
  }
  return diagnostics.count(text::Severity::error) > before ? std::vector<Batch>{} : wanted;
}

std::optional<Book> read_book(const std::filesystem::path& folder, text::Sources& sources,
                              text::Diagnostics& diagnostics, LibraryPart part) {
  std::optional<Book> book = read_written_book(folder, sources, diagnostics, part);
  if (book) follow_record(*book, sources, diagnostics);
  return book;
}

std::optional<Book> read_written_book(const std::filesystem::path& folder, text::Sources& sources,
                                      text::Diagnostics& diagnostics, LibraryPart part) {
  return read_with_library(folder, read_library, sources, diagnostics, part);
}

std::filesystem::path protocols_folder(const std::filesystem::path& book,
                                       const std::string& protocols) {
  if (protocols == shipped_library) {
    if (const auto library = files::shipped("protocols")) return *library;
  }
  // As people would write it: `protocols`, not `quarry_lane/../protocols`.
  return (book / protocols).lexically_normal();
}

std::optional<Book> read_with_library(const std::filesystem::path& folder,
                                      const LibraryReader& read, text::Sources& sources,
                                      text::Diagnostics& diagnostics, LibraryPart part) {
  std::error_code failure;
  if (!std::filesystem::is_directory(folder, failure)) {
    diagnostics.error("no-book", {}, "`" + folder.generic_string() + "` is not a folder.",
                      "A book is a folder with `site.yaml` and `batches.yaml` in it.");
    return std::nullopt;
  }
  take_back_interrupted(folder, diagnostics);
  for (const auto& file : record::files_of_record(folder / record::record_file)) {
    files::mark_in_use(file);
  }
  const std::optional<Node> site = read_file(folder / "site.yaml", sources, diagnostics);
  const std::optional<Node> batches = read_file(folder / "batches.yaml", sources, diagnostics);
  Book book;
  book.folder = folder;
  if (site) book.site = read_site(*site, folder, sources, diagnostics);
  if (batches) book.batches = read_batches(*batches, book.site, diagnostics);
  std::vector<language::Protocol> rounds;
  add_rounds(book.site, sources, diagnostics, rounds, book.batches);
  if (std::filesystem::exists(folder / levelled_file, failure)) {
    const std::optional<Node> levelled = read_file(folder / levelled_file, sources, diagnostics);
    if (levelled) read_levelled(*levelled, book.batches, diagnostics);
  }
  if (std::filesystem::exists(folder / learned_file, failure)) {
    const std::optional<Node> learned = read_file(folder / learned_file, sources, diagnostics);
    if (learned) book.learned = read_learned(*learned, diagnostics);
  }
  std::vector<LibraryFolder> folders = {{folder, {}}};
  if (book.site.protocols) {
    const auto further = protocols_folder(folder, book.site.protocols->value);
    if (!same_folder(folder, further)) folders.push_back({further, book.site.protocols->span});
  }
  if (std::filesystem::exists(folder / editions_file, failure)) {
    const std::optional<Node> editions = read_file(folder / editions_file, sources, diagnostics);
    if (editions) book.kept = read_editions(*editions, book.batches, diagnostics);
  }
  const WantedNames wanted = part == LibraryPart::whole ? WantedNames() : wanted_of(book, rounds);
  language::Document library = read(folders, wanted, sources, diagnostics);
  check_editions(book.kept, library, diagnostics);
  make_own(book.site, diagnostics, library);
  book.protocols = std::move(library.protocols);
  std::move(rounds.begin(), rounds.end(), std::back_inserter(book.protocols));
  book.rule_sets = std::move(library.rule_sets);
  book.tables = std::move(library.tables);
  book.left_out = std::move(library.left_out);
  const bool laid_out =
      site && site->kind == Node::Kind::map && batches && batches->kind == Node::Kind::map;
  if (!laid_out) return std::nullopt;
  return book;
}

}  // namespace budwood::book
