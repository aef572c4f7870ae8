#include "returns_input.hpp"
#include "text/csv.hpp"

/// Any bytes as a work sheet that came back as CSV.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add("returned.csv", fuzz::bytes_of(data, size));
  fuzz::accepted = false;
  record::ReturnTable table;
  table.name = source.name();
  if (text::is_text(source, diagnostics)) {
    text::CsvReader reader(source);
    while (const auto fields = reader.next(diagnostics)) {
      std::vector<record::Cell> cells;
      for (const text::CsvField& field : *fields) cells.push_back({field.value, field.span});
      table.rows.push_back(std::move(cells));
      table.numbers.push_back(table.rows.size());
    }
  }
  fuzz::check_told(diagnostics, source);
  if (!diagnostics.has_errors()) fuzz::read_returned(table, sources);
  return 0;
}
