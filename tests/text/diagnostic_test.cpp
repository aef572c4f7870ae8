#include <doctest/doctest.h>

#include <sstream>

#include "text/text.hpp"

using namespace budwood::text;

namespace {

std::string printed(const Diagnostics& diagnostics, Colour colour = Colour::never,
                    std::size_t most = 200) {
  std::ostringstream out;
  print(out, diagnostics, colour, most);
  return out.str();
}

Span span_of(const Source& source, std::string_view part) {
  const std::size_t begin = source.text().find(part);
  REQUIRE(begin != std::string_view::npos);
  return {&source, static_cast<std::uint32_t>(begin),
          static_cast<std::uint32_t>(begin + part.size())};
}

}  // namespace

TEST_CASE("a diagnostic shows its place, the marked line and what to do") {
  const Source source("a.bud", "protocol x {\n  lasts 4 dais\n}\n");
  Diagnostics diagnostics;
  diagnostics.error("unknown-unit", span_of(source, "dais"), "There is no unit `dais`.",
                    "Did you mean `days`?");
  CHECK(printed(diagnostics) ==
        "a.bud:2:11: error [unknown-unit] There is no unit `dais`.\n"
        "  |   lasts 4 dais\n"
        "  |           ^^^^\n"
        "  Did you mean `days`?\n"
        "1 error\n");
}

TEST_CASE("related places follow, further in") {
  const Source source("a.bud", "part a\npart a\n");
  Diagnostic d;
  d.code = "duplicate-name";
  d.span = {&source, 12, 13};
  d.message = "Again.";
  d.related.push_back({{&source, 5, 6}, "The first is here."});
  Diagnostics diagnostics;
  diagnostics.add(d);
  CHECK(printed(diagnostics) ==
        "a.bud:2:6: error [duplicate-name] Again.\n"
        "  | part a\n"
        "  |      ^\n"
        "  a.bud:1:6: The first is here.\n"
        "    | part a\n"
        "    |      ^\n"
        "1 error\n");
}

TEST_CASE("marks stand under characters, also after wide ones and tabs") {
  const Source source("a.bud", "\tnaïve °C µ bad\n");
  Diagnostics diagnostics;
  diagnostics.error("e", span_of(source, "bad"), "m");
  CHECK(printed(diagnostics) ==
        "a.bud:1:13: error [e] m\n"
        "  |  naïve °C µ bad\n"
        "  |             ^^^\n"
        "1 error\n");
}

TEST_CASE("marks allow for characters that are wide or have no width on a terminal") {
  // Two wide characters, then an e with a combining accent.
  const Source source("a.bud", "\u82BD\u82BD e\u0301 bad \u82BD\u82BD\n");
  Diagnostics diagnostics;
  diagnostics.error("e", span_of(source, "bad"), "m");
  diagnostics.error("wide", span_of(source, "bad \u82BD"), "m");
  CHECK(printed(diagnostics) ==
        "a.bud:1:7: error [e] m\n  | \u82BD\u82BD e\u0301 bad \u82BD\u82BD\n  |        ^^^\n"
        "a.bud:1:7: error [wide] m\n  | \u82BD\u82BD e\u0301 bad \u82BD\u82BD\n  |        ^^^^^^\n"
        "2 errors\n");
}

TEST_CASE("a mark never runs past its line, and an empty span still has one") {
  const Source source("a.bud", "abc\r\ndef\r\n");
  Diagnostics diagnostics;
  diagnostics.error("over", {&source, 1, 9}, "m");
  diagnostics.error("empty", {&source, 5, 5}, "m");
  diagnostics.error("end", {&source, 10, 10}, "m");
  CHECK(printed(diagnostics) ==
        "a.bud:1:2: error [over] m\n  | abc\n  |  ^^\n"
        "a.bud:2:1: error [empty] m\n  | def\n  | ^\n"
        "a.bud:3:1: error [end] m\n  | \n  | ^\n"
        "3 errors\n");
}

TEST_CASE("of a very long line only the neighbourhood of the mark is shown") {
  const Source source("a.bud", std::string(500, 'a') + "é!" + std::string(2'000'000, 'b'));
  Diagnostics diagnostics;
  diagnostics.error("e", span_of(source, "!"), "m");
  std::istringstream lines(printed(diagnostics));
  std::string head;
  std::string shown;
  std::string mark;
  std::getline(lines, head);
  std::getline(lines, shown);
  std::getline(lines, mark);
  CHECK(head == "a.bud:1:502: error [e] m");
  CHECK(count_characters(shown) < 200);
  // The mark stands in the column of the exclamation mark; é is one column but two bytes.
  CHECK(mark.find('^') + 1 == shown.find('!'));
}

TEST_CASE("wide characters of a very long line fit the terminal as well") {
  std::string wide;
  for (int i = 0; i < 3000; ++i) wide += "語";
  const Source source("a.bud", wide + "!" + wide);
  Diagnostics diagnostics;
  diagnostics.error("e", span_of(source, "!"), "m");
  std::ostringstream out;
  print(out, diagnostics, Colour::never, 200, 70);
  std::istringstream lines(out.str());
  std::string shown;
  std::getline(lines, shown);
  std::getline(lines, shown);
  CHECK(display_width(shown) <= 70);
  CHECK(display_width(shown) > 50);
  CHECK(shown.find('!') != std::string::npos);
}

TEST_CASE("control characters cannot reach the terminal") {
  // ESC, BEL, CR, DEL, U+009B (a control sequence in one character), U+202E (right-to-left
  // override), U+2066 (isolate), U+2028 (line separator); in the message a byte that is no text.
  const Source source("a\x1b.bud",
                      "x \x1b[31m \x07 \r y \x7F \xC2\x9B \xE2\x80\xAE \xE2\x81\xA6 "
                      "\xE2\x80\xA8 z\n");
  Diagnostics diagnostics;
  diagnostics.error("e", span_of(source, "z"), "bad \x1b]0;title\x07 \xFF", "do\x1b[2J");
  CHECK(printed(diagnostics) ==
        "a?.bud:1:25: error [e] bad ?]0;title? ?\n"
        "  | x ?[31m ? ? y ? ? ? ? ? z\n"
        "  |                         ^\n"
        "  do?[2J\n"
        "1 error\n");
}

TEST_CASE("colour marks the severity and nothing else changes") {
  const Source source("a.bud", "x\n");
  Diagnostics diagnostics;
  diagnostics.warning("w", {&source, 0, 1}, "m");
  CHECK(printed(diagnostics, Colour::always) ==
        "a.bud:1:1: \x1b[1;33mwarning [w]\x1b[0m m\n  | x\n  | ^\n0 errors, 1 warning\n");
}

TEST_CASE("diagnostics come by source in order of first mention, then by place") {
  const Source first("first.bud", "abcdef");
  const Source second("second.bud", "abcdef");
  Diagnostics diagnostics;
  diagnostics.error("e", {&first, 4, 5}, "first late");
  diagnostics.error("e", {&second, 0, 1}, "second early");
  diagnostics.error("e", {&first, 1, 2}, "first early");
  diagnostics.error("e", {&first, 1, 2}, "first early, said later");
  std::vector<std::string> messages;
  for (const Diagnostic& d : diagnostics.sorted()) messages.push_back(d.message);
  CHECK(messages == std::vector<std::string>{"first early", "first early, said later", "first late",
                                             "second early"});
}

TEST_CASE("the same thing is said once") {
  const Source source("a.bud", "abc");
  Diagnostics diagnostics;
  diagnostics.error("e", {&source, 0, 1}, "m");
  diagnostics.error("e", {&source, 0, 1}, "m");
  diagnostics.error("e", {&source, 0, 1}, "another");
  CHECK(diagnostics.count(Severity::error) == 2);
  // The same word about a statement and about the block that it begins is said of each.
  diagnostics.error("e", {&source, 0, 3}, "m");
  CHECK(diagnostics.count(Severity::error) == 3);
}

TEST_CASE("a hundred thousand mistakes are counted but not kept") {
  const Source source("a.bud", std::string(100'000, 'x'));
  Diagnostics diagnostics;
  for (std::uint32_t i = 0; i < 100'000; ++i) diagnostics.error("e", {&source, i, i + 1}, "m");
  CHECK(diagnostics.count(Severity::error) == 100'000);
  CHECK(diagnostics.sorted().size() == 1000);
  CHECK(diagnostics.crowded());
  const std::string out = printed(diagnostics, Colour::never, 3);
  CHECK(out.find("... and 99997 more\n100000 errors\n") != std::string::npos);
}

TEST_CASE("the summary counts what there is") {
  Diagnostics diagnostics;
  CHECK(summary(diagnostics) == "0 errors");
  CHECK(printed(diagnostics).empty());
  diagnostics.warning("w", {}, "a");
  diagnostics.note("n", {}, "b");
  diagnostics.note("n", {}, "c");
  CHECK(summary(diagnostics) == "0 errors, 1 warning, 2 notes");
  CHECK_FALSE(diagnostics.has_errors());
}

TEST_CASE("a line that is wider than the terminal is cut around the place, with dots") {
  std::string line;
  for (int i = 0; i < 60; ++i) line += "word" + std::to_string(i) + " ";
  const Source source("a.bud", line + "\n");
  for (const std::string part : {"word0", "word30", "word59"}) {
    CAPTURE(part);
    Diagnostics diagnostics;
    diagnostics.error("x", span_of(source, part), "Wrong.", "");
    std::ostringstream out;
    print(out, diagnostics, Colour::never, 200, 70);
    std::istringstream lines(out.str());
    std::string shown;
    std::string mark;
    std::getline(lines, shown);
    std::getline(lines, shown);
    std::getline(lines, mark);
    CHECK(shown.size() <= 70);
    CHECK((part == "word0") == !shown.starts_with("  | ..."));
    CHECK((part == "word59") == !shown.ends_with("..."));
    const std::size_t at = mark.find('^');
    REQUIRE(at != std::string::npos);
    CHECK(shown.substr(at, part.size()) == part);
    CHECK(mark.size() == at + part.size());
  }
}

TEST_CASE("what others found is taken over, once each; what they only counted is counted") {
  const Source source("a.bud", std::string(3000, 'x'));
  Diagnostics others;
  for (std::uint32_t i = 0; i < 1200; ++i) others.warning("w", {&source, i, i + 1}, "m");
  Diagnostics diagnostics;
  diagnostics.warning("w", {&source, 0, 1}, "m");
  diagnostics.error("e", {&source, 0, 1}, "m");
  diagnostics.add_all(others);
  CHECK(diagnostics.count(Severity::warning) == 1200);
  CHECK(diagnostics.count(Severity::error) == 1);
}
