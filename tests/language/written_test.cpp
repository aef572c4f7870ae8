// What an editor is told of a text: names with what they are names of, blocks, outline.

#include <doctest/doctest.h>

#include "language/editing/written.hpp"

using namespace budwood;
using language::NameKind;
using language::Written;
using language::WrittenItem;

namespace {

const char* const protocols = R"(protocol graft "Graft" {
  edition 3
  input take = 85 %
  supply tape "Tape" in m
  part p "P"
  stage join of p "Joining" {
    lasts 2 days
    room bench
    loses 1 - take
    keep air 20 degC
    do "Tie" on day 1 { crew bench_team  use 2 m tape each  tagged tying }
  }
  advise join.left >= 3 else "Only {join.left} of them, {take} take."
  variant fast "Fast" { set take = 70 % }
}
protocol north based on graft edition 3 "North" {
  change stage join { lasts 3 days }
}
)";

std::string told(const Written& written) {
  std::string out;
  for (const auto& name : written.names) {
    out += std::string(name.text()) + (name.declares ? "=" : ":") +
           std::to_string(static_cast<int>(name.kind)) + " ";
  }
  return out;
}

}  // namespace

TEST_CASE("names and what they are names of") {
  const text::Source source("test.bud", protocols);
  const Written written = language::look_at(source);
  const auto find = [&](std::string_view name, NameKind kind, bool declares) {
    int count = 0;
    for (const auto& one : written.names) {
      count += one.text() == name && one.kind == kind && one.declares == declares ? 1 : 0;
    }
    return count;
  };
  CAPTURE(told(written));
  CHECK(find("graft", NameKind::protocol, true) == 1);
  CHECK(find("graft", NameKind::protocol, false) == 1);
  CHECK(find("take", NameKind::input, true) == 1);
  CHECK(find("take", NameKind::input, false) == 1);
  CHECK(find("take", NameKind::value, false) == 2);  // a formula and a message
  CHECK(find("tape", NameKind::supply, true) == 1);
  CHECK(find("tape", NameKind::supply, false) == 1);
  CHECK(find("join", NameKind::stage, true) == 1);
  CHECK(find("join", NameKind::stage, false) == 1);
  CHECK(find("join", NameKind::value, false) == 2);
  CHECK(find("bench", NameKind::room, false) == 1);
  CHECK(find("bench_team", NameKind::crew, false) == 1);
  CHECK(find("tying", NameKind::tag, false) == 1);
  CHECK(find("air", NameKind::setting, false) == 1);
  CHECK(find("left", NameKind::property, false) == 1);
  CHECK(find("degC", NameKind::unit, false) == 0);
}

TEST_CASE("protocols, variants and bases") {
  const text::Source source("test.bud", protocols);
  const Written written = language::look_at(source);
  REQUIRE(written.owners.size() == 3);
  CHECK(written.owners[0].name == "graft");
  CHECK(written.owners[0].edition == 3);
  CHECK(written.owners[1].kind == NameKind::variant);
  CHECK(written.owners[1].around == 0);
  CHECK(written.owners[2].base == "graft");
  CHECK(written.owners[2].base_edition == 3);
}

TEST_CASE("the outline of text with mistakes") {
  const text::Source source("test.bud",
                            "protocol x \"X\" {\n  part p\n  stage a of p \"A\" {\n    lasst 3\n"
                            "    do \"Cut\" on day 1 { time }\n  }\n  stage b of p {\n");
  const Written written = language::look_at(source);
  std::vector<std::string> lines;
  for (const auto& item : written.items) {
    lines.push_back(std::string(2 * item.depth, ' ') + item.name + item.title);
  }
  REQUIRE(lines.size() == 5);
  CHECK(lines[0] == "xX");
  CHECK(lines[2] == "  aA");
  CHECK(lines[3] == "    Cut");
  CHECK(lines[4] == "  b");
}
