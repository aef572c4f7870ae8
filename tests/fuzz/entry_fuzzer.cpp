#include "any_batch.hpp"
#include "fuzzing.hpp"
#include "language/parse/entry_reader.hpp"
#include "record/line.hpp"

/// Any bytes as entries: reading must end, and what comes of it can be written and read again.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  const fuzz::AnyBatch known;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add("fuzz", fuzz::bytes_of(data, size));
  std::size_t understood = 0;
  for (const auto& line : language::read_entries(source, diagnostics)) {
    const auto entry = record::understand(line, known, {}, diagnostics);
    if (!entry) continue;
    ++understood;
    text::Diagnostics none;
    const auto again = language::read_entries(sources.add("line", record::line_of(*entry)), none);
    fuzz::must(again.size() == 1, "an entry whose line is not one line");
    auto same = record::understand(again.front(), known, {}, none);
    fuzz::must(same.has_value(), "an entry whose line is not understood");
    same->id = entry->id;
    fuzz::must(*same == *entry, "an entry whose line says something else");
  }
  fuzz::check_told(diagnostics, source);
  fuzz::accepted = understood > 0 && !diagnostics.has_errors();
  return 0;
}
