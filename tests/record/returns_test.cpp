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
        Problems{"no-such-date Row 3, column `Done on` (B3)",
                 "bad-cell Row 4, column `Plants done` (D4)", "bad-cell Row 5, column `Hours` (E5)",
                 "no-day Row 7, column `Done on` (B7)", "no-order Row 8, column `Order` (A8)",
                 "bad-cell Row 9, column `Plants done` (D9)",
                 "unknown-name Row 2, column `Order` (A2)",
                 "out-of-range Row 6, column `Seen and counted` (F6)",
                 "does-not-go Row 10, column `Seen and counted` (F10)"});
}

namespace {

/// What is found in one row below `BM27-1/healing/1/1`, done on 2027-04-08: "code column".
std::string found_in(ReturnColumn column, const std::string& text,
                     const std::string& day = "2027-04-08") {
  std::vector<std::string> row(return_columns);
  row[0] = "BM27-1/healing/1/1";
  row[1] = day;
  row[static_cast<std::size_t>(column)] = text;
  const Sheet sheet(Rows{row});
  std::string out;
  for (const std::string& one : sheet.problems) {
    const std::size_t head = one.find('`');
    out +=
        one.substr(0, one.find(' ')) + " " + one.substr(head, one.find('`', head + 1) - head + 1);
  }
  return out;
}

}  // namespace

TEST_CASE("whatever stands in a cell, it says nothing of another") {
  using C = ReturnColumn;
  CHECK(found_in(C::order, "BM27-1/healing/1/1 # x") == "unknown-name `Order`");
  CHECK(found_in(C::order, "BM27-1/healing/1/1 done by Ben") == "unknown-name `Order`");
  CHECK(found_in(C::order, "\"BM27-1/healing/1/1") == "unknown-name `Order`");
  CHECK(found_in(C::done_on, "2027-04-08 # early") == "no-such-date `Done on`");
  for (const char* plants : {"7o9", "79 # counted twice", "79, 3 h", "79 of", "of 80", "79 trees",
                             "79 by Ben", "1,000", "\"79\"", "-3", "7 9", "79 of 80 of 90"}) {
    CAPTURE(plants);
    CHECK(found_in(C::plants, plants) == "bad-cell `Plants done`");
  }
  CHECK(found_in(C::plants, "1.5") == "out-of-range `Plants done`");
  CHECK(found_in(C::plants, "81 of 80") == "out-of-range `Plants done`");
  for (const char* hours : {"6,5", "6:5", "6:75", "6.5:10", "6 h 75 min", "6 min 3 h", "3 m",
                            "6 h, 80 plants", "6 # x", "about 6", "6 6", ":30", "6:10:99", "-1"}) {
    CAPTURE(hours);
    CHECK(found_in(C::hours, hours) == "bad-cell `Hours`");
  }
  CHECK(found_in(C::hours, "9000") == "out-of-range `Hours`");
  CHECK(found_in(C::note, std::string(2001, 'x')) == "out-of-range `Note`");
  CHECK(found_in(C::by, std::string(201, 'x')) == "out-of-range `By`");
  CHECK(found_in(C::seen, "callus 70 % # most") == "bad-cell `Seen and counted`");
  CHECK(found_in(C::seen, "lost 2 plants \"rot") == "unclosed-text `Seen and counted`");
  CHECK(found_in(C::seen, "callus 70 % on 2027-02-30") == "no-such-date `Seen and counted`");
  CHECK(found_in(C::seen, "callus 70 % by Ana by Ben") == "duplicate-statement `Seen and counted`");
}

TEST_CASE("work that was left out says why, in its own column, and no more") {
  using C = ReturnColumn;
  CHECK(found_in(C::by, "Ana", "left out") == "no-words `Note`");
  CHECK(found_in(C::note, "no scions", "left out") == "");
  CHECK(found_in(C::plants, "3", "left out").starts_with("does-not-go `Plants done`"));
  CHECK(found_in(C::seen, "callus 70 %", "left out").starts_with("does-not-go `Seen and counted`"));
  CHECK(Sheet(Rows{{"BM27-1/healing/1/1", "left out"}}, {"Order", "Done on"}).problems ==
        Problems{"no-words Row 2, column `Done on` (B2)"});
}

TEST_CASE("hours as people write them") {
  const std::pair<const char*, double> forms[] = {
      {"6.5", 23400},     {"6:10", 22200},  {"6:10:30", 22230}, {"6 h 10 min", 22200},
      {"6h10min", 22200}, {"6h 10", 22200}, {"6h", 21600},      {"370 min", 22200},
      {"0:20", 1200},     {"0", 0},         {"6 hours", 21600}, {" 6.25 ", 22500}};
  for (const auto& [text, seconds] : forms) {
    CAPTURE(text);
    const Sheet sheet(Rows{{"BM27-1/healing/1/1", "2027-04-08", "", "", text}});
    CHECK(sheet.problems == Problems{});
    REQUIRE(sheet.entries.size() == 1);
    CHECK(sheet.entries[0].seconds == seconds);
  }
}

TEST_CASE("what was seen may have a sentence, a person and a day of its own") {
  const Sheet sheet(
      Rows{{"BM27-1/healing/1/1", "2027-04-08", "Ana", "", "",
            "lost 2 plants \"rot; grey # mould\"; callus 70 % on 2027-04-09 by Ben"}});
  CHECK(sheet.problems == Problems{});
  REQUIRE(sheet.entries.size() == 3);
  CHECK(sheet.entries[1].words == "rot; grey # mould");
  CHECK(sheet.entries[1].by == "Ana");
  CHECK(sheet.entries[2].by == "Ben");
  CHECK(calendar::iso_date(sheet.entries[2].day) == "2027-04-09");
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
