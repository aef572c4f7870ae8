#include "fuzzing.hpp"
#include "record/json.hpp"

/// Any bytes as what was exported: what is taken in can be given out and taken in again.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add("fuzz", fuzz::bytes_of(data, size));
  const std::vector<record::Entry> read = record::read_json_lines(source, diagnostics);
  fuzz::check_told(diagnostics, source);
  for (const record::Entry& entry : read) {
    text::Diagnostics none;
    const auto again = record::read_json_lines(sources.add("json", record::json_of(entry)), none);
    fuzz::must(again.size() == 1, "an entry that is not one line of JSON");
    fuzz::must(again.front() == entry, "an entry that JSON changes");
    const auto used = record::read_used(record::used_json(entry.used));
    fuzz::must(used.has_value() && *used == entry.used, "a use that JSON changes");
  }
  fuzz::accepted = !read.empty() && !diagnostics.has_errors();
  return 0;
}
