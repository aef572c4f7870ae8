#include "report/formats/csv.hpp"

#include <doctest/doctest.h>

#include <sstream>

using namespace budwood::report;

namespace {

/// One field, as it stands in the file.
std::string field(std::string_view text) {
  std::ostringstream out;
  Csv csv(out);
  csv.text(text).end_row();
  const std::string line = out.str();
  REQUIRE(line.size() >= 2);
  CHECK(line.substr(line.size() - 2) == "\r\n");
  return line.substr(0, line.size() - 2);
}

}  // namespace

// RFC 4180 (2005), section 2.
TEST_CASE("fields with commas, quotes or line breaks are quoted") {
  CHECK(field("aaa") == "aaa");
  CHECK(field("a,b") == "\"a,b\"");
  CHECK(field("b\"bb") == "\"b\"\"bb\"");
  CHECK(field("\"a\", \"b\"") == "\"\"\"a\"\", \"\"b\"\"\"");
  CHECK(field("b\r\nbb") == "\"b\r\nbb\"");
  CHECK(field("b\nbb") == "\"b\nbb\"");
  CHECK(field("") == "");
  CHECK(field("\"") == "\"\"\"\"");
  CHECK(field(" spaces stay ") == " spaces stay ");
}

TEST_CASE("rows") {
  std::ostringstream out;
  Csv csv(out);
  csv.text("mix").number(0.1 + 0.2).text("L").end_row();
  csv.text("").number(7).text("").end_row();
  CHECK(out.str() == "mix,0.3,L\r\n,7,\r\n");
}

TEST_CASE("a spreadsheet finds no formula in a text") {
  CHECK(field("=1+1") == "'=1+1");
  CHECK(field("+49 30") == "'+49 30");
  CHECK(field("-5 degC") == "'-5 degC");
  CHECK(field("@sum") == "'@sum");
  CHECK(field("\t=1") == "'\t=1");
  CHECK(field("\r=1") == "\"'\r=1\"");
  CHECK(field("=cmd|' /C calc'!A0,\"x\"") == "\"'=cmd|' /C calc'!A0,\"\"x\"\"\"");
  CHECK(field(" =1") == "' =1");
  CHECK(field(" \u00A0\u3000 +1") == "' \u00A0\u3000 +1");
  CHECK(field("\n=1") == "\"'\n=1\"");
  CHECK(field("＝1") == "'＝1");
  CHECK(field("\u2003＠sum") == "'\u2003＠sum");
  CHECK(field("－1") == "'－1");
  CHECK(field("＋1") == "'＋1");
  CHECK(field("\u200B=1") == "?=1");  // what nobody sees is shown, and hides no sign
  CHECK(field("  a=b") == "  a=b");
  CHECK(field("a=b") == "a=b");
}

TEST_CASE("negative numbers stay numbers") {
  std::ostringstream out;
  Csv csv(out);
  csv.number(-5).end_row();
  CHECK(out.str() == "-5\r\n");
}

TEST_CASE("control characters do not get into the file") {
  CHECK(field("a\x1b[2Jb") == "a?[2Jb");
  CHECK(field("\u202Eabc") == "?abc");
  CHECK(field("tab\there") == "tab\there");
}
