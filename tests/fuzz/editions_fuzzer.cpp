#include "book/batches/editions_reader.hpp"
#include "small_book.hpp"
#include "yaml_input.hpp"

/// Any bytes as editions.yaml: what is kept of it is written and read again as it was.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  fuzz::SmallBook small;
  book::Book& book = small.book();
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add("editions.yaml", fuzz::bytes_of(data, size));
  const auto tree = fuzz::tree_of(source, diagnostics);
  if (tree) book.kept = book::read_editions(*tree, book.batches, diagnostics);
  fuzz::check_told(diagnostics, source);
  fuzz::accepted = !book.kept.empty() && !diagnostics.has_errors();
  const std::string written = book::editions_yaml(book, book::Keeping::as_kept);
  for (book::Batch& batch : book.batches) batch.kept_edition.reset();
  text::Diagnostics none;
  const auto again = fuzz::tree_of(sources.add("again.yaml", written), none);
  fuzz::must(again.has_value(), "editions that are no YAML");
  book.kept = book::read_editions(*again, book.batches, none);
  fuzz::must(none.empty(), "editions that cannot be read again");
  fuzz::must(book::editions_yaml(book, book::Keeping::as_kept) == written,
             "editions that are others");
  return 0;
}
