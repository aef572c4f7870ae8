#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>

#include "text/text.hpp"

using namespace budwood::text;

TEST_CASE("columns count characters, not bytes") {
  const Source source("a.bud", "té 20 °C\nµmol 🌱 x");
  CHECK(source.place(0).column == 1);
  // t is one byte, é two: the space after it is byte 3 and column 3.
  CHECK(source.place(3).line == 1);
  CHECK(source.place(3).column == 3);
  const std::size_t degree = source.text().find("°");
  CHECK(source.place(degree).column == 7);
  const std::size_t x = source.text().find('x');
  CHECK(source.place(x).line == 2);
  CHECK(source.place(x).column == 8);
  CHECK(describe({&source, static_cast<std::uint32_t>(x), static_cast<std::uint32_t>(x)}) ==
        "a.bud:2:8");
}

TEST_CASE("a place past the end is just after the last byte") {
  const Source source("a.bud", "ab\n");
  CHECK(source.place(99).line == 2);
  CHECK(source.place(99).column == 1);
  CHECK(Source("b.bud", "").place(5).line == 1);
}

TEST_CASE("offset and place are each other's inverse at every character") {
  const Source source("a.bud", "é\r\n\nxµ°\nlast");
  for (std::size_t i = 0; i <= source.text().size(); ++i) {
    const bool inside =
        i < source.text().size() && (static_cast<unsigned char>(source.text()[i]) & 0xC0U) == 0x80U;
    if (inside || (i < source.text().size() && source.text()[i] == '\n' && i > 0 &&
                   source.text()[i - 1] == '\r')) {
      continue;
    }
    CHECK(source.offset(source.place(i)) == i);
  }
  CHECK(source.offset({1, 50}) == 2);  // the end of line 1, before its line break
  CHECK(source.offset({99, 1}) == source.text().size());
  CHECK(source.offset({0, 1}) == 0);
}

TEST_CASE("lines come without their breaks, whichever kind these are") {
  const Source source("a.bud", "one\r\ntwo\n\nfour");
  CHECK(source.line(1) == "one");
  CHECK(source.line(2) == "two");
  CHECK(source.line(3).empty());
  CHECK(source.line(4) == "four");
  CHECK(source.line(5).empty());
  CHECK(source.line(0).empty());
}

TEST_CASE("lines are made when somebody asks for them, each once") {
  std::vector<std::size_t> made;
  Sources sources;
  const Source& source = sources.add("record", 1'000'000, [&](std::size_t line) {
    made.push_back(line);
    return line == 7 ? std::string("größer") : "line " + std::to_string(line);
  });
  const Span seventh = source.made_line(7);
  CHECK(made.empty());
  CHECK(describe(seventh) == "record:8:1");
  CHECK(text_of(seventh) == "größer");
  CHECK(source.place(seventh.end).column == 7);
  CHECK(source.offset(source.place(seventh.end)) == seventh.end);
  CHECK(source.line(1'000'000) == "line 999999");
  CHECK(source.line(1'000'001).empty());
  CHECK(source.line(0).empty());
  CHECK(made == std::vector<std::size_t>{7, 999'999});
  Diagnostics diagnostics;
  diagnostics.note("x", source.made_line(9), "Later.");
  diagnostics.note("x", seventh, "Earlier.");
  std::ostringstream out;
  print(out, diagnostics, Colour::never);
  CHECK(out.str().find("record:8:1: note [x] Earlier.\n  | größer\n  | ^^^^^^\n") == 0);
  CHECK(out.str().find("record:10:1: note [x] Later.\n  | line 9\n  | ^^^^^^\n") !=
        std::string::npos);
}

TEST_CASE("what is not UTF-8 text is refused, with the place") {
  // Malformed sequences after Unicode 15, table 3-7: overlong forms, surrogates, past U+10FFFF, cut
  // short, stray continuation; and NUL, which no text holds.
  const std::vector<std::string> malformed{
      "\xC0\xAF",
      "\xE0\x80\xAF",
      "\xED\xA0\x80",
      "\xF4\x90\x80\x80",
      "\xF5\x80\x80\x80",
      "\xE2\x82",
      "\x80",
      std::string(1, '\0'),
      "\xC3(",
  };
  for (const std::string& bytes : malformed) {
    CHECK(find_invalid_utf8("ab" + bytes) == 2);
    CHECK(character_length(bytes) == 0);
  }
  for (const char* good : {"", "plain", "é", "\xED\x9F\xBF", "\xEE\x80\x80", "\xF4\x8F\xBF\xBF"}) {
    CHECK(find_invalid_utf8(good) == std::string_view::npos);
  }
}

TEST_CASE("places on a long line are those that counting from its beginning gives") {
  std::string line = "a: ";
  for (int i = 0; i < 700; ++i) line += i % 3 == 0 ? "ä" : i % 7 == 0 ? "🌱" : "x";
  for (std::size_t cut = 0; cut < 300; cut += 37) {
    Sources sources;
    const std::string text = "first\nsecond é\n" + line + std::string(cut, '.') + "\nlast";
    const Source& source = sources.add("long.yaml", text);
    for (std::size_t offset = 0; offset <= text.size(); ++offset) {
      const std::size_t start = offset == 0 ? 0 : text.rfind('\n', offset - 1) + 1;
      const Place place = source.place(offset);
      REQUIRE(place.column == 1 + count_characters(text.substr(start, offset - start)));
      REQUIRE(place.line ==
              1 + static_cast<std::size_t>(std::count(
                      text.begin(), text.begin() + static_cast<std::ptrdiff_t>(offset), '\n')));
    }
  }
}
