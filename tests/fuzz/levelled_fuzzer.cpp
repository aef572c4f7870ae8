#include "book/batches/levelled_reader.hpp"
#include "small_book.hpp"
#include "yaml_input.hpp"

/// Any bytes as levelled.yaml: what was read of it is written and read again as it was.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  fuzz::SmallBook small;
  std::vector<book::Batch>& batches = small.book().batches;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add("levelled.yaml", fuzz::bytes_of(data, size));
  const auto tree = fuzz::tree_of(source, diagnostics);
  if (tree) book::read_levelled(*tree, batches, diagnostics);
  fuzz::check_told(diagnostics, source);
  fuzz::accepted = batches.front().levelled && !diagnostics.has_errors();
  const std::string written = book::levelled_yaml(batches);
  for (book::Batch& batch : batches) batch.levelled.reset();
  text::Diagnostics none;
  const auto again = fuzz::tree_of(sources.add("again.yaml", written), none);
  fuzz::must(again.has_value(), "levelled dates that are no YAML");
  book::read_levelled(*again, batches, none);
  fuzz::must(none.empty(), "levelled dates that cannot be read again");
  fuzz::must(book::levelled_yaml(batches) == written, "levelled dates that are others");
  return 0;
}
