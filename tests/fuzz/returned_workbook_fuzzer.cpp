#include "office/workbooks/read_workbook.hpp"
#include "returns_input.hpp"
#include "share/archive.hpp"

namespace {

/// A workbook of parts in XML: sheet, texts, styles.
std::string zipped(std::string_view input) {
  using namespace budwood;
  std::vector<share::ArchivedFile> files = {
      {"xl/worksheets/sheet1.xml", std::string(fuzz::part_of(input, 0))}};
  const auto add = [&](const char* path, std::string_view part) {
    if (!part.empty()) files.push_back({path, std::string(part)});
  };
  add("xl/sharedStrings.xml", fuzz::part_of(input, 1));
  add("xl/styles.xml", fuzz::part_of(input, 2));
  return share::write_archive(std::move(files));
}

}  // namespace

/// Any bytes as a workbook that came back; those that are no archive as the parts of one, so that
/// the checksums of archives do not keep the fuzzer from what is in them.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  const std::string input = fuzz::bytes_of(data, size);
  const office::ReadSheet sheet =
      office::read_workbook(input.starts_with("PK") ? input : zipped(input));
  fuzz::accepted = false;
  fuzz::must(sheet.problem.empty() || sheet.rows.empty(), "a sheet in spite of a problem");
  if (!sheet.problem.empty()) return 0;
  record::ReturnTable table;
  table.name = "returned.xlsx";
  for (std::size_t row = 0; row < sheet.rows.size(); ++row) {
    if (sheet.rows[row].empty()) continue;
    std::vector<record::Cell> cells;
    for (const std::string& text : sheet.rows[row]) cells.push_back({text, {}});
    table.rows.push_back(std::move(cells));
    table.numbers.push_back(row + 1);
  }
  text::Sources sources;
  fuzz::read_returned(table, sources);
  return 0;
}
