#include <doctest/doctest.h>

#include <algorithm>

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

}  // namespace

TEST_CASE("a row an order, a column a supply") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16").lots["leaf"].value = "house 3, left";
  const auto rows = parse(sample.orders(Format::csv));
  REQUIRE(rows.size() == 6);
  for (const auto& row : rows) CHECK(row.size() == rows[0].size());
  CHECK(value(rows, 1, "id") == "A1/rooting/1/1");
  CHECK(value(rows, 1, "protocol") == "leaf_cuttings");
  CHECK(value(rows, 1, "edition") == "3");
  CHECK(value(rows, 1, "date") == "2027-03-25");
  CHECK(value(rows, 1, "weekday") == "Thursday");
  CHECK(value(rows, 1, "week") == "2027-W12");
  CHECK(value(rows, 1, "title") == "Cut leaves, lay on the mix");
  CHECK(value(rows, 1, "plants") == "125");
  CHECK(value(rows, 1, "person_hours") == "2.08333333333");
  CHECK(value(rows, 1, "people") == "2");
  CHECK(value(rows, 1, "crew") == "propagation");
  CHECK(value(rows, 1, "room") == "propagator");
  CHECK(value(rows, 1, "settings") == "air by day 20 degC; air by night 17 degC; humidity 90 %");
  CHECK(value(rows, 1, "record") == "laid (leaves)");
  CHECK(value(rows, 1, "lots") == "leaf: house 3, left");
  CHECK(value(rows, 1, "line") == "leaf_cuttings.bud:15");
  CHECK(value(rows, 1, "leaf (leaves)") == "125");
  CHECK(value(rows, 1, "mix (L)") == "4.375");
  CHECK(value(rows, 1, "tray (trays)") == "4");
  CHECK(value(rows, 2, "tray (trays)").empty());
  CHECK(value(rows, 2, "people").empty());
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
