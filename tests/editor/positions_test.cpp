// Places in UTF-16 units, as the protocol counts them, against bytes.

#include <doctest/doctest.h>

#include "editor/positions.hpp"

using budwood::editor::Lines;
using budwood::editor::Position;

TEST_CASE("characters of one, two, three and four bytes") {
  // U+1F331 (a seedling) lies beyond the first plane: two units.
  const std::string text = "a\xC3\xA9\xE2\x82\xAC\xF0\x9F\x8C\xB1z\nb";
  const Lines lines(text);
  CHECK(lines.position(0) == Position{0, 0});
  CHECK(lines.position(1) == Position{0, 1});
  CHECK(lines.position(3) == Position{0, 2});
  CHECK(lines.position(6) == Position{0, 3});
  CHECK(lines.position(10) == Position{0, 5});
  CHECK(lines.position(11) == Position{0, 6});
  CHECK(lines.position(12) == Position{1, 0});
  for (const std::size_t offset : {0U, 1U, 3U, 6U, 10U, 11U, 12U, 13U}) {
    CHECK(lines.offset(lines.position(offset)) == offset);
  }
  // Between the two units of the seedling.
  CHECK(lines.offset({0, 4}) == 6);
  CHECK(lines.position(8) == Position{0, 3});
}

TEST_CASE("ends of lines, and places beyond them") {
  const std::string text = "one\r\ntwo\rthree\n";
  const Lines lines(text);
  CHECK(lines.count() == 4);
  CHECK(lines.line(0) == "one");
  CHECK(lines.line(1) == "two");
  CHECK(lines.line(2) == "three");
  CHECK(lines.line(3) == "");
  CHECK(lines.offset({0, 99}) == 3);
  CHECK(lines.offset({99, 0}) == text.size());
  CHECK(lines.position(4) == Position{0, 3});
  CHECK(Lines("").offset({0, 5}) == 0);
}

TEST_CASE("a line that goes on and on") {
  std::string text = "first\n";
  for (int i = 0; i < 700; ++i)
    text += i % 3 == 0 ? "\xF0\x9F\x8C\xB1" : i % 3 == 1 ? "\xC3\xA9" : "x";
  text += "\nlast";
  const Lines lines(text);
  std::uint32_t units = 0;
  for (std::size_t i = 6; text[i] != '\n';) {
    CHECK(lines.position(i) == Position{1, units});
    CHECK(lines.offset({1, units}) == i);
    const bool seedling = text[i] == '\xF0';
    i += seedling ? 4 : text[i] == 'x' ? 1 : 2;
    units += seedling ? 2 : 1;
  }
  CHECK(lines.position(text.size()) == Position{2, 4});
  CHECK(lines.offset({1, 9999}) == text.size() - 5);
}
