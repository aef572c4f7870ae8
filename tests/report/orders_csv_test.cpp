#include <doctest/doctest.h>

#include <algorithm>

#include "report/formats/format.hpp"
#include "sample_plan.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::protocol_with_title;
using budwood::report::test::SamplePlan;

namespace {

/// Reads RFC 4180 text back into rows of fields.
std::vector<std::vector<std::string>> parse(const std::string& text) {
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> row(1);
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted) {
      if (c != '"') {
        row.back() += c;
      } else if (i + 1 < text.size() && text[i + 1] == '"') {
        row.back() += text[++i];
      } else {
        quoted = false;
      }
    } else if (c == '"') {
      quoted = true;
    } else if (c == ',') {
      row.emplace_back();
    } else if (c == '\r') {
      REQUIRE(i + 1 < text.size());
      REQUIRE(text[++i] == '\n');
      rows.push_back(std::exchange(row, std::vector<std::string>(1)));
    } else {
      row.back() += c;
    }
  }
  CHECK(row == std::vector<std::string>(1));
  CHECK_FALSE(quoted);
  return rows;
}

std::string value(const std::vector<std::vector<std::string>>& rows, std::size_t row,
                  const std::string& head) {
  const auto found = std::find(rows[0].begin(), rows[0].end(), head);
  REQUIRE(found != rows[0].end());
  return rows[row][static_cast<std::size_t>(found - rows[0].begin())];
}

/// The row of an order.
std::size_t row_of(const std::vector<std::vector<std::string>>& rows, const std::string& id) {
  for (std::size_t i = 1; i < rows.size(); ++i) {
    if (rows[i][0] == id) return i;
  }
  FAIL("no row for ", id);
  return 0;
}

}  // namespace

TEST_CASE("a row an order, a column a supply") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16").lots["leaf"].value = "house 3, left";
  const auto rows = parse(sample.orders(Format::csv));
  REQUIRE(rows.size() == 11);  // the head, five of work and five of settings
  for (const auto& row : rows) CHECK(row.size() == rows[0].size());
  const std::size_t laying = row_of(rows, "A1/rooting/1/1");
  const std::size_t looking = row_of(rows, "A1/rooting/2/1");
  CHECK(value(rows, laying, "protocol") == "leaf_cuttings");
  CHECK(value(rows, laying, "edition") == "3");
  CHECK(value(rows, laying, "date") == "2027-03-25");
  CHECK(value(rows, laying, "weekday") == "Thursday");
  CHECK(value(rows, laying, "week") == "2027-W12");
  CHECK(value(rows, laying, "title") == "Cut leaves, lay on the mix");
  CHECK(value(rows, laying, "plants") == "125");
  CHECK(value(rows, laying, "person_hours") == "2.08333333333");
  CHECK(value(rows, laying, "people") == "2");
  CHECK(value(rows, laying, "crew") == "propagation");
  CHECK(value(rows, laying, "room") == "propagator");
  CHECK(value(rows, laying, "settings") ==
        "air by day 20 degC; air by night 17 degC; humidity 90 %");
  CHECK(value(rows, laying, "record") == "laid (leaves)");
  CHECK(value(rows, laying, "lots") == "leaf: house 3, left");
  CHECK(value(rows, laying, "line") == "leaf_cuttings.bud:15");
  CHECK(value(rows, laying, "leaf (leaves)") == "125");
  CHECK(value(rows, laying, "mix (L)") == "4.4");
  CHECK(value(rows, laying, "tray (trays)") == "4");
  CHECK(value(rows, looking, "tray (trays)").empty());
  CHECK(value(rows, looking, "people").empty());
}

TEST_CASE("a change of settings is a row whose id has `set` in its third place") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  const auto rows = parse(sample.orders(Format::csv));
  CHECK(value(rows, 1, "id") == "propagator/all/set/2027-03-25");
  CHECK(value(rows, 1, "title") == "Set the climate");
  CHECK(value(rows, 1, "date") == "2027-03-25");
  CHECK(value(rows, 1, "due") == "2027-03-25");
  CHECK(value(rows, 1, "room") == "propagator");
  CHECK(value(rows, 1, "settings") == "air by day 20 degC; air by night 17 degC; humidity 90 %");
  CHECK(value(rows, 1, "stage_start") == "2027-03-25");
  CHECK(value(rows, 1, "line") == "leaf_cuttings.bud:8");
  for (const char* head : {"plants", "person_hours", "crew", "record", "mix (L)"}) {
    CHECK(value(rows, 1, head).empty());
  }
  CHECK(value(rows, 2, "id") == "A1/rooting/1/1");
  CHECK(value(rows, 1, "notes") == "for A1/rooting");
  CHECK(value(rows, 3, "settings") == "humidity 85 %");
}

TEST_CASE("what mist comes to stands with the notes") {
  SamplePlan sample(
      "protocol p \"P\" { part a stage s of a { lasts 2 days  room fog  mist 20 s every 45 min } "
      "}");
  sample.add_batch("A1", 10, "2027-04-16");
  sample.book().site.rooms["fog"].mist_flow = book::Placed<double>{0.9e-3 / 60, {}};
  const auto rows = parse(sample.orders(Format::csv));
  REQUIRE(rows.size() == 3);
  CHECK(value(rows, 1, "notes") == "32 pulses, 640 s, 9.6 L a day; for A1/s");
  CHECK(value(rows, 2, "id") == "fog/all/set/2027-04-16");
  CHECK(value(rows, 2, "settings") == "mist off");
  CHECK(value(rows, 2, "notes").empty());
}

TEST_CASE("without orders there is still a head") {
  SamplePlan sample;
  CHECK(parse(sample.orders(Format::csv)).size() == 1);
}

TEST_CASE("hostile titles stay in their field") {
  for (const std::string title :
       {"=HYPERLINK(0)", "+1", "-1", "@x", "a\\\"b, c", "esc \x1b[2J", "\u202Exyz"}) {
    SamplePlan sample(protocol_with_title(title));
    sample.add_batch("A1", 10, "2027-04-16");
    if (sample.plan().orders.empty()) continue;  // the language may refuse the title
    const auto rows = parse(sample.orders(Format::csv));
    REQUIRE(rows.size() == 2);
    CHECK(rows[1].size() == rows[0].size());
    const std::string shown = value(rows, 1, "title");
    CHECK(std::string_view("=+-@").find(shown[0]) == std::string_view::npos);
    CHECK(shown.find('\x1b') == std::string::npos);
  }
}
