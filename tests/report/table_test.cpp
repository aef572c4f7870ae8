#include "report/formats/table.hpp"

#include <doctest/doctest.h>

#include <random>
#include <sstream>

#include "sample_plan.hpp"

using namespace budwood::report;
using budwood::report::test::lines_of;
using budwood::text::display_width;
using Lines = std::vector<std::string>;

namespace {

std::string without(std::string text, std::string_view characters) {
  std::erase_if(text, [&](char c) { return characters.find(c) != std::string_view::npos; });
  return text;
}

std::string all_of(const Lines& lines) {
  std::string text;
  for (const std::string& line : lines) text += line;
  return text;
}

std::string written(const Table& table, std::size_t width, std::size_t indent = 0) {
  std::ostringstream out;
  Style style;
  style.width = width;
  table.write(out, style, indent);
  return out.str();
}

}  // namespace

TEST_CASE("text wraps between words") {
  CHECK(wrap("cut the stock below", 10) == Lines{"cut the", "stock", "below"});
  CHECK(wrap("cut the stock", 13) == Lines{"cut the stock"});
  CHECK(wrap("", 10) == Lines{""});
  CHECK(wrap("   ", 10) == Lines{""});
  CHECK(wrap("one\ntwo three\r\n\nfour", 20) == Lines{"one", "two three", "", "four"});
}

TEST_CASE("a word longer than the line goes on in the next") {
  CHECK(wrap("abcdefghij", 4) == Lines{"abcd", "efgh", "ij"});
  CHECK(wrap("to abcdefghij or", 4) == Lines{"to", "abcd", "efgh", "ij", "or"});
  CHECK(wrap("germination_room", 13) == Lines{"germination_", "room"});
  CHECK(wrap("接ぎ木苗", 4) == Lines{"接ぎ", "木苗"});
  CHECK(wrap("接", 1) == Lines{"接"});
}

TEST_CASE("width counts columns, not bytes") {
  CHECK(wrap("größe µmol/m²", 13) == Lines{"größe µmol/m²"});
  CHECK(wrap("größe µmol/m²", 12) == Lines{"größe", "µmol/m²"});
  CHECK(pad_right("°C", 4) == "°C  ");
  CHECK(pad_left("木", 4) == "  木");
  CHECK(pad_right("too long", 3) == "too long");
}

TEST_CASE("wrapping loses nothing and keeps to the width") {
  std::mt19937 random(20270314);
  const Lines letters = {"a", "b", " ", " ", "_", "µ", "木", "e\u0301", "/", "\n", "\U0001F331"};
  for (int round = 0; round < 3000; ++round) {
    std::string text;
    const std::size_t length = random() % 60;
    for (std::size_t i = 0; i < length; ++i) text += letters[random() % letters.size()];
    const std::size_t width = 2 + random() % 20;  // no character is wider than 2
    const Lines lines = wrap(text, width);
    REQUIRE(without(all_of(lines), " ") == without(text, " \n"));
    for (const std::string& line : lines) REQUIRE(display_width(line) <= width);
  }
}

TEST_CASE("a very long word takes no time to speak of") {
  const std::string word(2'000'000, 'x');
  CHECK(wrap(word, 60).size() == 33334);
}

TEST_CASE("columns line up, numbers on the right") {
  Table table({{"Supply"}, {"Amount", Table::Kind::number}, {"Room"}});
  table.add({"Mix", "9", "bench"});
  table.add({"Größe", "1200", "mist"});
  CHECK(written(table, 100, 2) ==
        "  Supply  Amount  Room\n"
        "  Mix          9  bench\n"
        "  Größe     1200  mist\n");
}

TEST_CASE("missing cells are empty") {
  Table table({{"A"}, {"B"}});
  table.add({"1"});
  CHECK(written(table, 100) == "A  B\n1\n");
}

TEST_CASE("a table too wide for the page wraps its text, then breaks words, then wraps entries") {
  Table table({{"Stage"}, {"Start", Table::Kind::entry}, {"Plants", Table::Kind::number}});
  table.add({"Sowing and germination", "Mon 2027-03-01", "640"});
  CHECK(written(table, 35) ==
        "Stage        Start           Plants\n"
        "Sowing and   Mon 2027-03-01     640\n"
        "germination\n");
  CHECK(written(table, 34) ==
        "Stage       Start           Plants\n"
        "Sowing and  Mon 2027-03-01     640\n"
        "germinatio\n"
        "n\n");
  CHECK(written(table, 30) ==
        "Stage       Start       Plants\n"
        "Sowing and  Mon            640\n"
        "germinatio  2027-03-01\n"
        "n\n");
}

TEST_CASE("no cell is ever cut") {
  const std::string title = "sieve " + std::string(10'000, 'z') + " end";
  Table table({{"Title"}, {"Plants", Table::Kind::number}});
  table.add({title, "12345678901234567890"});
  for (const std::size_t width : {1U, 10U, 40U, 80U, 120U}) {
    std::string shown = without(written(table, width), " \n");
    CHECK(std::count(shown.begin(), shown.end(), 'z') == 10'000);
    CHECK(shown.find("12345678901234567890") != std::string::npos);
  }
  for (const std::string& line : lines_of(written(table, 80))) CHECK(display_width(line) <= 80);
}

TEST_CASE("colours are there only when asked for") {
  Style style;
  CHECK(inked("x", Ink::strong, style) == "x");
  style.colour = budwood::text::Colour::always;
  CHECK(inked("x", Ink::strong, style) == "\x1b[1mx\x1b[0m");
  CHECK(inked("x", Ink::plain, style) == "x");
}
