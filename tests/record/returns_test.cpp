#include "record/returns.hpp"
#include "known_method.hpp"

namespace budwood::record::test {

namespace {

/// A sheet with these rows of cells below the heads, and what comes of it.
struct Sheet {
  std::vector<Entry> entries;
  std::vector<std::string> problems;

  explicit Sheet(const std::vector<std::vector<std::string>>& rows,
                 std::vector<std::string> heads = {return_heads.begin(), return_heads.end()}) {
    ReturnTable table;
    table.name = "week.csv";
    table.rows.emplace_back();
    for (const std::string& head : heads) table.rows.back().push_back({head, {}});
    for (const auto& row : rows) {
      table.rows.emplace_back();
      for (const std::string& cell : row) table.rows.back().push_back({cell, {}});
    }
    for (std::size_t i = 0; i < table.rows.size(); ++i) table.numbers.push_back(i + 1);
    const KnownMethod known;
    text::Sources sources;
    text::Diagnostics found;
    Returns returns(table, sources);
    for (const auto& line : returns.lines(found)) {
      if (auto entry = understand(line, known, {}, found)) entries.push_back(*entry);
    }
    text::Diagnostics told;
    returns.tell(found, told);
    for (const text::Diagnostic& d : told.sorted()) {
      problems.push_back(d.code + " " + d.message.substr(0, d.message.find(':')));
    }
  }
};

using Rows = std::vector<std::vector<std::string>>;
using Problems = std::vector<std::string>;

}  // namespace

TEST_CASE("cells are named as spreadsheets name them") {
  CHECK(cell_name(0, 0) == "A1");
  CHECK(cell_name(6, 5) == "F7");
  CHECK(cell_name(99, 25) == "Z100");
  CHECK(cell_name(0, 26) == "AA1");
  CHECK(cell_name(0, 701) == "ZZ1");
  CHECK(cell_name(0, 702) == "AAA1");
}

TEST_CASE("a row that was filled in becomes entries, an empty one none") {
  const Sheet sheet(Rows{{"BM27-1/healing/1/1", "2027-04-08", "Ana", "79 of 80", "0:20",
                          "61 of 80; callus 70 %; lost 2 plants; not seen buds", "say \"x\""},
                         {"BM27-1/grafting/1/1", "", " ", "", "", "", ""},
                         {"BM27-1/grafting/2/1", "Left Out", "", "", "", "", "no scions"}});
  CHECK(sheet.problems == Problems{});
  REQUIRE(sheet.entries.size() == 6);
  CHECK(sheet.entries[0].seconds == 1200);
  CHECK(sheet.entries[0].of == 80);
  CHECK(sheet.entries[0].words == "say \"x\"");
  CHECK(sheet.entries[1].what == What::counted);
  CHECK(sheet.entries[1].by == "Ana");
  CHECK(sheet.entries[2].name == "callus");
  CHECK(sheet.entries[3].what == What::lost);
  CHECK(sheet.entries[4].what == What::not_seen);
  CHECK(sheet.entries[5].what == What::left_out);
}

TEST_CASE("each bad cell is told with its row and column, all in one run") {
  const Sheet sheet(
      Rows{{"BM27-1/healing/1/9", "2027-04-08"},
           {"BM27-1/healing/1/1", "8.4."},
           {"BM27-1/healing/1/1", "2027-04-08", "", "few"},
           {"BM27-1/healing/1/1", "2027-04-08", "", "", "long"},
           {"BM27-1/healing/1/1", "2027-04-08", "", "", "", "61 of 60"},
           {"BM27-1/healing/1/1", "", "Ana"},
           {"", "2027-04-08", "Ana"},
           {"BM27-1/healing/1/1", "2027-04-08", "", "3\n4"},
           {"BM27-1/healing/1/1", "2027-04-08", "", "", "", "callus 70 %, used 3 m tape"}});
  CHECK(sheet.problems ==
        Problems{"no-such-date Row 3, column `Done on` (B3)", "no-day Row 7, column `Done on` (B7)",
                 "no-order Row 8, column `Order` (A8)", "unknown-name Row 2, column `Order` (A2)",
                 "syntax Row 4, column `Plants done` (D4)", "syntax Row 5, column `Hours` (E5)",
                 "out-of-range Row 6, column `Seen and counted` (F6)",
                 "syntax Row 9, column `Plants done` (D9)",
                 "does-not-go Row 10, column `Seen and counted` (F10)"});
}

TEST_CASE(
    "columns may be moved and others may stand between; without order or day nothing is read") {
  const Sheet moved(Rows{{"2027-04-08", "x", "BM27-1/healing/1/1"}},
                    {" done on ", "Weather", "ORDER"});
  CHECK(moved.problems == Problems{});
  CHECK(moved.entries.size() == 1);
  CHECK(Sheet(Rows{{"x"}}, {"Weather"}).problems.size() == 2);
}

}  // namespace budwood::record::test
