#include <doctest/doctest.h>

#include <sstream>

#include "../report/sample_plan.hpp"
#include "../words.hpp"
#include "paper/paper.hpp"

using namespace budwood;
using budwood::tests::has;
using namespace budwood::paper;

namespace {

constexpr const char* whole = R"(protocol leaf "Leaf cuttings" {
  edition 3
  crop "streptocarpus"
  source "house practice"
  note "Take them early."
  input strike = 80 % from 40 % to 99 % "leaves that root"
  input speed = 60 per hour "leaves an hour"
  supply leaf "Leaf" in leaves
  supply tray "Tray, 40 cells" in trays reused
  supply spirit "Spirit" in mL pack 500 mL hazard flammable
  observe rot in % "leaves that rot"
  part cutting "Leaf cutting"
  stage rooting of cutting "Rooting" {
    lasts 20 to 26 days usually 21 days
    may wait 2 days
    room propagator
    space ceil(plants / 40) trays
    keep air 20 degC by day
    taper humidity 90 % to 80 % over 3 days
    loses 1 - strike
    note "Shade it."
    do "Cut leaves" on day 1 {
      rate speed
      crew propagation
      people 2
      use 1 leaf each
      use 1 tray per 40
      use 5 mL spirit
      tool "Knife"
      caution "Away from the body."
      record laid in leaves
      note "Veins downwards."
    }
    do "Look for rot" every 7 days from day 7 within 2 days { time 12 min  record rot }
    if rot > 20 % on last day {
      warn "Air more."
      do "Take rotten leaves out" { time 15 min }
    }
  }
  stage potting of cutting "Potting" {
    lasts 1 day
    room bench
    do "Pot" at start { time 1 min each  setup 10 min  no entry for 2 h after }
  }
  waive humidity_step "fogged"
}
)";

struct Printed {
  bool whole = false;
  std::string page;
};

Printed printed(const std::string& protocol, const std::string& fingerprint = "") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto read = language::read(sources.add("leaf.bud", protocol), diagnostics).protocols;
  REQUIRE(read.size() == 1);
  std::ostringstream out;
  Printed result;
  result.whole = write_method(out, read.front(), {PageSize::printers, fingerprint});
  result.page = out.str();
  return result;
}

}  // namespace

TEST_CASE("a method tells all that stands in the protocol") {
  const Printed method = printed(whole);
  CHECK(method.whole);
  for (const char* words : {"<bdi>Leaf cuttings</bdi>",
                            "Edition 3",
                            "streptocarpus",
                            "house practice",
                            "Take them early.",
                            "leaves that root",
                            "80 %, from 40 % to 99 %",
                            "pack of 500 mL",
                            "flammable",
                            "20 to 26 days, usually 21",
                            "may wait 2 days",
                            "loses 20 %",
                            "propagator",
                            "ceil(plants / 40) trays",
                            "Shade it.",
                            "Cut leaves</bdi></b><bdi>, on day 1</bdi>",
                            "crew propagation, 60 per hour (speed) by one person, 2 people",
                            "1 leaf for each plant",
                            "1 tray for every 40 plants",
                            "Knife",
                            "Away from the body.",
                            "laid (leaves)",
                            "Veins downwards.",
                            "every 7 days from day 7, or up to 2 days later",
                            "If rot &gt; 20 % on the last day",
                            "Air more.",
                            "Take rotten leaves out",
                            "1 min for each plant, 10 min to set up",
                            "when the stage starts",
                            "for 2 h after",
                            "leaves that rot",
                            "humidity_step",
                            "fogged",
                            "Flammable: no flame"}) {
    CAPTURE(words);
    CHECK(has(method.page, words));
  }
  CHECK_FALSE(has(method.page, "Fingerprint"));
}

TEST_CASE("work that goes on from the last day alone says so") {
  const std::string page = printed(R"(protocol p "P" {
  part a "A"
  stage one of a {
    lasts 9 days
    do "Look" every 3 days { time 5 min }
    do "Feed" every 2 days from day 3 { time 5 min }
    do "Drench" every 2 days from last day { time 5 min }
  }
}
)")
                               .page;
  CHECK(has(page, "Look</bdi></b><bdi>, every 3 days, or up to"));
  CHECK(has(page, "every 2 days from day 3, or up to"));
  CHECK(has(page, "every 2 days from the last day, or up to"));
}

TEST_CASE("settings are a table of days") {
  const std::string page = printed(whole).page;
  CHECK(has(page, "<th><bdi>air by day</bdi></th>"));
  CHECK(has(page, "<th><bdi>humidity</bdi></th>"));
  CHECK(has(page, "<td class=\"day-of\">1</td>\n<td><bdi>20 degC</bdi></td>\n<td><bdi>90 %</bdi>"));
  CHECK(has(page, "<td class=\"day-of\">3</td>\n<td><bdi>20 degC</bdi></td>\n<td><bdi>80 %</bdi>"));
  CHECK(has(page, "<td class=\"day-of\">4 to 21</td>\n<td><bdi>20 degC</bdi></td>\n<td></td>"));
}

TEST_CASE("a fingerprint stands below the title") {
  CHECK(has(printed(whole, "ab12-cd34").page, "<bdi>Fingerprint ab12-cd34</bdi>"));
}

TEST_CASE("a method that cannot be followed is not printed") {
  const Printed method = printed(R"(protocol p "P" {
  part a "A"
  stage one of a { lasts 3 days  no wait  season 1 March to 5 March }
  stage two of a { lasts 3 days  season 1 June to 5 June }
}
)");
  CHECK_FALSE(method.whole);
  CHECK(method.page.empty());
}
