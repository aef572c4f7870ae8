#include "book/recorded/learned_reader.hpp"
#include "yaml_input.hpp"

/// Any bytes as learned.yaml: what was read of it is written and read again as it was.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add("learned.yaml", fuzz::bytes_of(data, size));
  std::vector<book::LearnedValue> values;
  const auto tree = fuzz::tree_of(source, diagnostics);
  if (tree) values = book::read_learned(*tree, diagnostics);
  fuzz::check_told(diagnostics, source);
  fuzz::accepted = !values.empty() && !diagnostics.has_errors();
  if (values.empty()) return 0;
  const std::string written = book::learned_yaml(values);
  text::Diagnostics none;
  const auto again = fuzz::tree_of(sources.add("again.yaml", written), none);
  fuzz::must(again.has_value(), "learned values that are no YAML");
  const auto same = book::read_learned(*again, none);
  fuzz::must(!none.has_errors(), "learned values that cannot be read again");
  fuzz::must(book::learned_yaml(same) == written, "learned values that are others");
  return 0;
}
