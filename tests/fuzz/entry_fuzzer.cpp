#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <sstream>

#include "language/parse/entry_reader.hpp"
#include "record/json.hpp"
#include "record/line.hpp"
#include "record/understand.hpp"

namespace {

using namespace budwood;

/// A book in which every batch there could be follows a small protocol.
class AnyBatch : public record::Known {
 public:
  AnyBatch() {
    language::Stage stage;
    stage.name = "healing";
    protocol_.stages.push_back(stage);
    language::Observation callus;
    callus.name = "callus";
    callus.unit = *units::find_unit("%");
    callus.has_unit = true;
    protocol_.observations.push_back(callus);
    language::Supply mix;
    mix.name = "mix";
    mix.unit = mix.plain_unit = *units::find_unit("L");
    protocol_.supplies.push_back(mix);
  }
  std::vector<std::string> batches() const override { return {"A1"}; }
  const language::Protocol* protocol_of(const std::string&) const override { return &protocol_; }
  std::vector<std::string> orders_of(const std::string&) const override {
    return {"healing/1/1", "healing/1/2"};
  }
  std::vector<std::string> cultivars_of(const std::string& batch) const override {
    return batch == "C" ? std::vector<std::string>{"C-c1"} : std::vector<std::string>{};
  }
  std::string whole_of(const std::string& batch) const override {
    return batch == "C-c1" ? "C" : "";
  }
  std::optional<record::PlannedDays> days_of(const std::string&) const override {
    return record::PlannedDays{20'000, 21'000};
  }
  std::vector<const language::Supply*> supplies() const override {
    return {&protocol_.supplies.front()};
  }
  std::vector<record::Entry> entries(const std::string& front) const override {
    record::Entry out;
    out.id = front + std::string(record::id_length - front.size(), 'a');
    return {out};
  }

 private:
  language::Protocol protocol_;
};

}  // namespace

/// Any bytes as entries, and as what was exported: reading must end, and what comes of it can be
/// written and read again.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const AnyBatch known;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source =
      sources.add("fuzz", std::string(reinterpret_cast<const char*>(data), size));
  for (const auto& line : language::read_entries(source, diagnostics)) {
    const auto entry = record::understand(line, known, {}, diagnostics);
    if (!entry) continue;
    text::Diagnostics none;
    const auto again = language::read_entries(sources.add("line", record::line_of(*entry)), none);
    if (again.size() != 1) std::abort();
    auto same = record::understand(again.front(), known, {}, none);
    if (!same) std::abort();
    same->id = entry->id;
    if (!(*same == *entry)) std::abort();
  }
  for (const record::Entry& entry : record::read_json_lines(source, diagnostics)) {
    text::Diagnostics none;
    const auto again = record::read_json_lines(sources.add("json", record::json_of(entry)), none);
    if (again.size() != 1 || !(again.front() == entry)) std::abort();
  }
  std::ostringstream out;
  text::print(out, diagnostics, text::Colour::always);
  return 0;
}
