#include <fstream>
#include <set>
#include <sstream>

#include "known_method.hpp"
#include "record/line.hpp"

namespace budwood::record::test {

namespace {

std::string reference() {
  std::ifstream file(std::string(BUDWOOD_GRAMMAR) + "/record.md", std::ios::binary);
  std::ostringstream content;
  content << file.rdbuf();
  return content.str();
}

/// The cells of the rows of the table whose head begins with `| entry | says |`.
std::vector<std::vector<std::string>> entry_rows() {
  std::vector<std::vector<std::string>> out;
  std::istringstream lines(reference());
  bool inside = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("| entry | says |")) {
      inside = true;
    } else if (!line.starts_with("|")) {
      inside = false;
    } else if (inside && !line.starts_with("| ---")) {
      std::vector<std::string> cells;
      std::istringstream row(line.substr(1));
      for (std::string cell; std::getline(row, cell, '|');) cells.push_back(cell);
      out.push_back(cells);
    }
  }
  return out;
}

std::string in_code(const std::string& cell) {
  const std::size_t begin = cell.find('`') + 1;
  return cell.substr(begin, cell.rfind('`') - begin);
}

}  // namespace

TEST_CASE("reference: every kind of entry has an example that is read as it is written") {
  KnownMethod known;
  Entry noted;
  noted.id = "k7m2q9x4t3v8b5n6";
  noted.batch = "BM27-1";
  noted.place = "healing";
  known.noted = {noted};
  std::set<What> kinds;
  bool corrects = false;
  for (const auto& cells : entry_rows()) {
    REQUIRE(cells.size() == 4);
    const std::string example = in_code(cells[3]);
    CAPTURE(example);
    const Lines read(example, known);
    CHECK(read.codes == std::vector<std::string>{});
    REQUIRE(read.entries.size() == 1);
    const Entry& entry = read.entries.front();
    kinds.insert(entry.what);
    corrects = corrects || (!entry.corrects.empty() && entry.what != What::withdrawal);
    // The first column names the words of the example.
    std::istringstream words(cells[0]);
    std::string word;
    while (std::getline(words, word, ',')) {
      CHECK(example.find(in_code(word)) != std::string::npos);
    }
  }
  CHECK(kinds.size() == what_count);
  CHECK(corrects);
}

TEST_CASE("reference: the pieces of an entry are read") {
  std::istringstream lines(reference());
  std::size_t pieces = 0;
  const KnownMethod known;
  bool inside = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("| piece |")) {
      inside = true;
      continue;
    }
    inside = inside && line.starts_with("|");
    if (!inside || line.find('`') == std::string::npos) continue;
    std::istringstream cells(line.substr(1));
    std::string first;
    std::getline(cells, first, '|');
    std::istringstream examples(first);
    for (std::string example; std::getline(examples, example, ',');) {
      CAPTURE(example);
      const Lines read("BM27-1/grafting/2/1 done " + in_code(example), known);
      CHECK(read.codes == std::vector<std::string>{});
      ++pieces;
    }
  }
  CHECK(pieces == 8);
}

}  // namespace budwood::record::test
