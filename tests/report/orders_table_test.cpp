#include <doctest/doctest.h>

#include <algorithm>

#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "sample_plan.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::lines_of;
using budwood::report::test::protocol_with_title;
using budwood::report::test::SamplePlan;

namespace {

Style page(std::size_t width) {
  Style style;
  style.width = width;
  return style;
}

bool has_line(const std::string& text, const std::string& line) {
  const auto lines = lines_of(text);
  return std::find(lines.begin(), lines.end(), line) != lines.end();
}

}  // namespace

TEST_CASE("what a grower reads") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16").note = "for the open day";
  const std::string text = sample.orders(Format::table);
  CAPTURE(text);
  CHECK(text.starts_with(
      "Mill Bank\n"
      "\n"
      "Batch A1: 100 plants ready on Fri 2027-04-16\n"
      "  Leaf cuttings, edition 3\n"
      "  Stage    Start           End             May end              Float  Plants  Left  Room\n"
      "  Rooting  Thu 2027-03-25  Thu 2027-04-15  2027-04-14 to 04-20      0     125   100  "
      "propagator\n"));
  CHECK(has_line(text, "  Note     for the open day"));
  CHECK(has_line(text, "Thursday 2027-03-25  (2027-W12)"));
  CHECK(has_line(text, "   125 plants    2.1 h  Cut leaves, lay on the mix"));
  CHECK(has_line(text,
                 "                        A1/rooting/1/1, crew propagation, room propagator, 2 "
                 "people together"));
  CHECK(text.find("\n                        Use      Leaf: 125 leaves; Fine mix: 4.4 L; Tray, 40 "
                  "cells: 4 trays (comes\n                                 back)\n") !=
        std::string::npos);
  CHECK(has_line(text, "                        Tools    Knife"));
  CHECK(has_line(text, "                        Caution  Cut away from the body."));
  CHECK(has_line(text, "                        Record   laid (leaves)"));
  CHECK(has_line(text, "                        Note     Veins downwards."));
  CHECK(lines_of(text).back() == "5 work orders, 3.7 h of work in all; 5 changes of settings.");
}

TEST_CASE("a range over New Year tells both years") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2026-12-31");
  const std::string text = sample.orders(Format::table);
  CAPTURE(text);
  CHECK(text.find("  2026-12-29 to 2027-01-04  ") != std::string::npos);
}

TEST_CASE("days come in order, each once") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  sample.add_batch("A2", 200, "2027-04-16");
  std::vector<std::string> days;
  for (const std::string& line : lines_of(sample.orders(Format::table))) {
    const std::size_t date = line.find(" 2027-");
    if (line.ends_with(")") && date != std::string::npos) days.push_back(line.substr(date, 11));
  }
  // Five with work; on four the climate changes, one of which has work as well.
  CHECK(days.size() == 8);
  CHECK(std::is_sorted(days.begin(), days.end()));
  CHECK(std::adjacent_find(days.begin(), days.end()) == days.end());
}

TEST_CASE("what is set stands before the work of its stage, one line an order") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  const std::string text = sample.orders(Format::table);
  CAPTURE(text);
  CHECK(text.find("Thursday 2027-03-25  (2027-W12)\n"
                  "          set           propagator: air by day 20 degC; air by night 17 degC; "
                  "humidity 90 %\n"
                  "                        [propagator/all/set/2027-03-25, for A1/rooting]\n"
                  "   125 plants    2.1 h  Cut leaves, lay on the mix\n") != std::string::npos);
  CHECK(text.find("propagator: humidity 85 % [propagator/all/set/2027-") != std::string::npos);
  CHECK(text.find("propagator: humidity 80 % [propagator/all/set/2027-") != std::string::npos);
  CHECK(text.find("propagator: humidity not asked for any more") != std::string::npos);
}

TEST_CASE("a programme of mist tells what it comes to") {
  // 20 s every 45 min round the clock are 32 pulses and 640 s a day; at 0.9 L/min 9.6 L.
  SamplePlan sample(
      "protocol p \"P\" { part a stage s of a { lasts 2 days  room fog  mist 20 s every 45 min } "
      "stage t of a { lasts 1 day  mist 1 s every 24 h on day 1 } }");
  sample.add_batch("A1", 10, "2027-04-16");
  sample.book().site.rooms["fog"].mist_flow = book::Placed<double>{0.9e-3 / 60, {}};
  const std::string text = sample.orders(Format::table);
  CAPTURE(text);
  CHECK(text.find("fog: mist 20 s every 45 min, day and night (32 pulses, 640 s, 9.6 L a day)\n") !=
        std::string::npos);
  // Without a room the stage is named; how much flows there is not known.
  CHECK(text.find("t: mist 1 s every 24 h, day and night (1 pulse, 1 s a day)\n") !=
        std::string::npos);
  CHECK(lines_of(text).back() == "0 work orders; 3 changes of settings.");
  CHECK(text.find("fog: mist off [fog/all/set/2027-04-15]\n") != std::string::npos);
}

TEST_CASE("it keeps to the page") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  for (const std::size_t width : {80U, 100U, 120U}) {
    const std::string text = sample.orders(Format::table, {}, page(width));
    for (const std::string& line : lines_of(text)) {
      CAPTURE(line);
      CHECK(text::display_width(line) <= width);
    }
  }
}

TEST_CASE("an empty result says so") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  Filter filter;
  filter.from = calendar::parse_iso_date("2028-01-01");
  filter.to = calendar::parse_iso_date("2028-01-31");
  CHECK(sample.orders(Format::table, filter) ==
        "Mill Bank\n\nNo work orders between 2028-01-01 and 2028-01-31.\n");
}

TEST_CASE("a conflict stands with its batch") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16")
      .pins.push_back(
          {"rooting", book::Pin::Side::start, *calendar::parse_iso_date("2027-04-14"), {}});
  const std::string text = sample.orders(Format::table);
  CAPTURE(text);
  CHECK(has_line(text, "Batch A1: 100 plants, without dates"));
  CHECK(text.find("\n  Conflict The dates of this batch contradict each other") !=
        std::string::npos);
  CHECK(text.find("leaf_cuttings.bud:9") != std::string::npos);
}

TEST_CASE("a filter on orders shows only the batches that have some") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  sample.add_batch("A2", 100, "2027-08-13");
  Filter filter;
  filter.from = calendar::parse_iso_date("2027-08-01");
  const std::string text = sample.orders(Format::table, filter);
  CHECK(text.find("Batch A2") != std::string::npos);
  CHECK(text.find("Batch A1") == std::string::npos);
}

TEST_CASE("hostile titles neither steer the terminal nor leave the page") {
  for (const std::string& title :
       {std::string(10'000, 'x'), std::string("esc \x1b[2J bell \x07"),
        std::string("8-bit \xC2\x9B"
                    "31m"),
        std::string("\u202Eright to left\u202C"), std::string("\U0001F331 接ぎ木 e\u0301")}) {
    SamplePlan sample(protocol_with_title(title));
    sample.add_batch("A1", 10, "2027-04-16");
    if (sample.plan().orders.empty()) continue;  // the language may refuse the title
    const std::string text = sample.orders(Format::table, {}, page(80));
    for (const std::string& line : lines_of(text)) {
      CHECK(text::display_width(line) <= 80);
      CHECK(text::printable(line) == line);
    }
    if (title[0] == 'x') CHECK(std::count(text.begin(), text.end(), 'x') == 10'000);
  }
}

TEST_CASE("colours on a terminal only") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  CHECK(sample.orders(Format::table).find('\x1b') == std::string::npos);
  Style style;
  style.colour = text::Colour::always;
  CHECK(sample.orders(Format::table, {}, style).find("\x1b[1mMill Bank\x1b[0m") == 0);
}

TEST_CASE("what closes a room stands below the work that must come before it, with its own id") {
  SamplePlan sample(R"(protocol spray { part tip
    stage rooting of tip { lasts 3 days  room fog
      do "Spray" on day 2 { no entry for 12 h after }
      do "Look" on day 2 }
    stage yard of tip { lasts 2 days  do "Carry" on day 1 } })");
  sample.add_batch("A", 10, "2027-04-16");
  const std::string text = sample.orders(Format::table);
  CAPTURE(text);
  const std::size_t look = text.find("A/rooting/2/1");
  REQUIRE(look != std::string::npos);
  CHECK(look < text.find("A/rooting/1/1"));
  CHECK(text.find("A/rooting/1/1") < text.find("A/yard/1/1"));
}

TEST_CASE("the usual cautions stand once a day, and each order points to them") {
  SamplePlan sample(R"(protocol p "P" {
    supply knife_blade "Blade" in blades hazard blade
    part plant
    stage s of plant {
      lasts 9 days
      do "Cut one" on day 2 { use 1 knife_blade  caution "Cut one with care." }
      do "Cut two" on day 2 { use 1 knife_blade }
      do "Look" on day 2
    }
  })");
  sample.add_batch("A1", 10, "2027-04-16");
  const std::string text = sample.orders(Format::table);
  CAPTURE(text);
  const auto times = [&](const std::string& words) {
    std::size_t count = 0;
    for (std::size_t at = text.find(words); at != std::string::npos;
         at = text.find(words, at + 1)) {
      ++count;
    }
    return count;
  };
  CHECK(times("Blade: cut away from the body") == 1);
  CHECK(times("Follow the product label") == 1);
  CHECK(times("Blade: see the cautions of the day.") == 2);
  CHECK(times("Cut one with care.") == 1);
}

TEST_CASE("what is aimed at beyond the order, and what is expected of it, stands with the number") {
  SamplePlan plain;
  plain.add_batch("A1", 100, "2027-04-16");
  CHECK(plain.orders(Format::table).find("to spare") == std::string::npos);
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16").spare = book::Placed<double>{0.05, {}};
  // 105 / 0.8 = 131.25, of 132 are 105.6 left.
  const std::string table = sample.orders(Format::table);
  CAPTURE(table);
  const auto in = [&](const std::string& text) { return table.find(text) != std::string::npos; };
  CHECK(in("Start with 132 in"));
  CHECK(in("105 aimed at"));
  CHECK(in("5 more than ordered"));
}

TEST_CASE("the number that is expected, and the chance, are told alike everywhere") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16").sure = book::Placed<double>{0.9, {}};
  const std::string table = sample.orders(Format::table);
  CAPTURE(table);
  const std::size_t at = table.find(" expected");
  REQUIRE(at != std::string::npos);
  const std::size_t begin = table.rfind(' ', at - 1) + 1;
  const std::string expected = table.substr(begin, at - begin);
  // "Rooting ... plants left room": the last two figures before the room.
  const std::size_t row = table.find("  Rooting ");
  const std::string stage = table.substr(row, table.find('\n', row) - row);
  CHECK(stage.find("  " + expected + "  propagator") != std::string::npos);
}
