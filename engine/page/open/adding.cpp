#include "page/open/adding.hpp"

#include <algorithm>
#include <ostream>

#include "book/write/rewrite.hpp"
#include "book/yaml/single_values.hpp"
#include "digest/digest.hpp"
#include "files/read.hpp"
#include "files/write.hpp"

namespace budwood::page {

namespace {

namespace fs = std::filesystem;

bool is_batch_name(const std::string& id) {
  return !id.empty() && id.size() <= book::longest_batch_id &&
         std::all_of(id.begin(), id.end(), [](char c) {
           return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                  c == '-' || c == '_';
         });
}

/// The batch as the readers of the book take it; nothing when something is wrong with it.
std::optional<book::Batch> read_new(const book::Book& book, const NewBatch& wanted,
                                    text::Sources& sources, text::Diagnostics& said) {
  book::Batch out;
  const auto value = [&](const char* name, const std::string& text) {
    const text::Source& source = sources.add(name, text);
    return book::SingleValue{text, {&source, 0, static_cast<std::uint32_t>(text.size())}};
  };
  if (!is_batch_name(wanted.id)) {
    said.error("bad-name", {}, "This cannot be the name of a batch.",
               "It has letters, digits, - and _ and at most " +
                   std::to_string(book::longest_batch_id) + " characters, such as `A27-003`.");
  }
  const std::vector<std::string> names = book::names_of(book.batches);
  if (std::find(names.begin(), names.end(), wanted.id) != names.end()) {
    said.error("duplicate-batch", {}, "There is a batch `" + wanted.id + "` already.",
               "Choose another name.");
  }
  const bool known = std::any_of(book.protocols.begin(), book.protocols.end(),
                                 [&](const auto& one) { return one.name == wanted.protocol; });
  if (!known) said.error("unknown-name", {}, "Choose a method for the batch.");
  out.id.value = wanted.id;
  out.protocol.value = wanted.protocol;
  if (const auto plants = book::read_plants(value("plants", wanted.plants), said)) {
    out.plants = *plants;
  }
  auto& date = wanted.key == "start"        ? out.start
               : wanted.key == "not_before" ? out.not_before
                                            : out.ready;
  date = book::read_date("the day", value("day", wanted.day), said);
  return said.has_errors() ? std::nullopt : std::optional(std::move(out));
}

}  // namespace

void add_batch(OpenBook& book, const NewBatch& wanted, text::Sources& sources,
               text::Diagnostics& said) {
  const std::lock_guard writing(book.writing);
  const std::shared_ptr<Snapshot> now = book.now();
  const auto batch = read_new(*now->written, wanted, sources, said);
  if (!batch) return;
  const fs::path file = book.folder() / "batches.yaml";
  files::Bytes read = files::read_bytes(file, files::largest_text);
  if (!read.ok()) return said.add(files::refusal(read, file, files::largest_text));
  std::string problem = book::append_batch(read.bytes, *batch);
  if (problem.empty()) {
    problem = files::write_whole(file, [&](std::ostream& out) { out << read.bytes; });
  }
  if (!problem.empty()) return said.error("not-kept", {}, problem);
  book.look();
}

void save_method(OpenBook& book, const std::string& file, const std::string& text,
                 const std::string& digest, text::Diagnostics& said, std::string& other) {
  const std::lock_guard writing(book.writing);
  const std::shared_ptr<Snapshot> now = book.now();
  // Only a file that the book has read can be meant: no path comes from outside.
  const text::Source* source = nullptr;
  for (const language::Protocol& one : now->book->protocols) {
    const text::Source* there = one.span.source;
    if (there != nullptr && fs::path(there->name()).filename() == file) source = there;
  }
  if (source == nullptr) {
    return said.error("unknown-name", {}, "The book has no method in a file of this name.");
  }
  const fs::path path = source->name();
  const files::Bytes read = files::read_bytes(path, files::largest_text);
  if (!read.ok()) return said.add(files::refusal(read, path, files::largest_text));
  if (digest::sha256(read.bytes) != digest) {
    other = read.bytes;
    return;
  }
  const std::string problem = files::write_whole(path, [&](std::ostream& out) { out << text; });
  if (!problem.empty()) return said.error("not-kept", {}, problem);
  book.look();
}

}  // namespace budwood::page
