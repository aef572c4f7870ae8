#include "office/calendar/plain_text.hpp"

#include <doctest/doctest.h>

#include "office/calendar/event_texts.hpp"

using namespace budwood::office;

TEST_CASE("plain text: line breaks stay, controls do not") {
  CHECK(printable_lines("a\nb\r\nc") == "a\nb\nc");
  CHECK(printable_lines("a\x1b[2Jb") == "a?[2Jb");
  CHECK(printable_lines("").empty());
  CHECK(printable_lines("\n\n") == "\n\n");
}

TEST_CASE("plain text: calendars have no blanks at the ends of a text") {
  CHECK(calendar_text_of("  a b \n") == "a b");
  CHECK(calendar_text_of(" \n ").empty());
  CHECK(calendar_text_of("a\n\nb") == "a\n\nb");
}

TEST_CASE("plain text: a cell holds 32 767 units of UTF-16") {
  const std::string seedling = "\xF0\x9F\x8C\xB1";  // two units
  std::string text;
  for (int i = 0; i < 16383; ++i) text += seedling;
  CHECK(cell_text(text + "x") == text + "x");
  CHECK(cell_text(text + seedling) == text + "…");
  CHECK(cell_text(std::string(32767, 'a')) == std::string(32767, 'a'));
  CHECK(cell_text(std::string(32768, 'a')) == std::string(32766, 'a') + "…");
}

TEST_CASE("plain text: a cell has no codes, and nothing that XML forbids") {
  CHECK(cell_text("_x0041_") == "_x005F_x0041_");
  CHECK(cell_text("_x00_ _x004G_ _y0041_ _x0041") == "_x00_ _x004G_ _y0041_ _x0041");
  CHECK(cell_text("a\xEF\xBF\xBF"
                  "b\xEF\xBF\xBE") == "a?b?");
  CHECK(cell_text("=1+1") == "=1+1");  // it is written as text
}

TEST_CASE("plain text: a header knows codes after an ampersand") {
  CHECK(header_text("A & B\n") == "A && B?");
  CHECK(header_text(std::string(500, '&')).size() < 150);
}

TEST_CASE("plain text: names of sheets") {
  CHECK(sheet_name("a/b[c]:*?\\'d") == "a_b_c______d");
  CHECK(sheet_name(std::string(40, 'x')) == std::string(30, 'x') + "…");
}
