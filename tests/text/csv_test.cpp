#include "text/csv.hpp"

#include <doctest/doctest.h>

namespace text = budwood::text;
using text::CsvField;
using text::CsvReader;

namespace {

/// All records: "column:value|column:value" in a line for each, then what was reported.
std::string records(const std::string& csv) {
  text::Sources sources;
  const text::Source& source = sources.add("t.csv", csv);
  text::Diagnostics diagnostics;
  CsvReader reader(source);
  std::string all;
  while (const auto fields = reader.next(diagnostics)) {
    for (const CsvField& field : *fields) {
      const text::Place place = source.place(field.span.begin);
      all += std::to_string(place.line) + "." + std::to_string(place.column) + ":" + field.value +
             (&field == &fields->back() ? "\n" : "|");
    }
  }
  for (const text::Diagnostic& d : diagnostics.sorted()) {
    all += text::describe(d.span) + " error " + d.code + " " + d.message + " " + d.advice + "\n";
  }
  return all;
}

}  // namespace

TEST_CASE("fields know their places") {
  CHECK(records("a,b\n1,22,\n") == "1.1:a|1.3:b\n2.1:1|2.3:22|2.6:\n");
  CHECK(records("a, b\r\n 1 ,\t2") == "1.1:a|1.4:b\n2.2:1|2.6:2\n");
  CHECK(records("é,b") == "1.1:é|1.3:b\n");
  CHECK(records(",") == "1.1:|1.2:\n");
}

TEST_CASE("lines with nothing in them are no records") {
  CHECK(records("").empty());
  CHECK(records("\n \r\n\t").empty());
  CHECK(records("\n\na\n\n  b\n\n") == "3.1:a\n5.3:b\n");
}

TEST_CASE("quoted fields hold commas, quotes and line breaks") {
  CHECK(records("\"a,b\",c") == "1.1:a,b|1.7:c\n");
  CHECK(records("\"a\"\"b\" ,\"\"\nc") == "1.1:a\"b|1.9:\n2.1:c\n");
  CHECK(records("\"a\nb\",c\nd") == "1.1:a\nb|2.4:c\n3.1:d\n");
  CHECK(records("a\"b\",c") == "1.1:a\"b\"|1.6:c\n");
}

TEST_CASE("a line of too many fields is refused") {
  CHECK(records(std::string(CsvReader::most_fields - 1, ',')).find("csv-syntax") ==
        std::string::npos);
  CHECK(records(std::string(1'000'000, ',') + "\na") ==
        "t.csv:1:1001 error csv-syntax This line has more than 1000 fields. Check that this is the "
        "right file.\n");
}

TEST_CASE("quotes that do not fit are reported once and end the reading") {
  CHECK(records("a\n1,\"b\nc\nd") ==
        "1.1:a\nt.csv:2:3 error csv-syntax This quoted field is never closed. Put a quote at its "
        "end.\n");
  CHECK(records("\"a\"é,b\nc") ==
        "t.csv:1:4 error csv-syntax A comma or the end of the line belongs after a quoted field. "
        "Write a quote inside a field twice.\n");
}
