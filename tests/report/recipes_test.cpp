#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "plan/trials/what_if.hpp"
#include "potted_in_mix.hpp"
#include "report/differences/comparison.hpp"
#include "report/formats/format.hpp"
#include "report/report.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::lines_of;
using budwood::report::test::PottedInMix;
using nlohmann::json;

/// What is made here, as each format tells it.
namespace {

bool shows(const std::string& text, const std::string& piece) {
  return text.find(piece) != std::string::npos;
}

}  // namespace

TEST_CASE("a making is an order of its day, with its cautions") {
  PottedInMix sample;
  const std::string text = sample.orders(Format::table);
  CAPTURE(text);
  CHECK(shows(text,
              "Friday 2027-04-09  (2027-W14)\n"
              "  Caution  Dust: moisten before handling; wear a dust mask; air the room.\n"));
  CHECK(shows(text,
              "         make   30 min  Make 100 L: Mix for potting\n"
              "                        mix/make/2027-04-09, crew potters\n"
              "                        Use      Peat-free base: 60 L; Ground lime: 0.3 kg\n"
              "                        For      80 L for A1/potting/1/1 on Mon 2027-04-12\n"
              "                        Tools    Mixer\n"
              "                        Caution  Hands out of the running mixer.\n"
              "                        Caution  Dust: see the cautions of the day.\n"
              "                        Note     Moist, not wet.\n"));
  CHECK(shows(text, "Note     Potting mix is made on Fri 2027-04-09 (mix/make/2027-04-09)."));
  CHECK(lines_of(text).back() == "1 work order and 1 making, 2.1 h of work in all.");
}

TEST_CASE("a making passes with its crew, its day and its batches, and stands in no room") {
  PottedInMix sample;
  Filter filter;
  filter.crew = "potters";
  CHECK(select_all(sample.plan(), filter).makings.size() == 1);
  filter.crew = "others";
  CHECK(select_all(sample.plan(), filter).makings.empty());
  filter = {};
  filter.room = "bench";
  CHECK(select_all(sample.plan(), filter).makings.empty());
  filter = {};
  filter.from = calendar::parse_iso_date("2027-04-10");
  CHECK(select_all(sample.plan(), filter).makings.empty());
  filter = {};
  filter.batch = "A1";
  CHECK(select_all(sample.plan(), filter).makings.size() == 1);
}

TEST_CASE("makings for programs") {
  PottedInMix sample;
  const std::string csv = sample.orders(Format::csv);
  CAPTURE(csv);
  CHECK(shows(csv,
              "mix/make/2027-04-09,A1,,,,2027-04-09,Friday,2027-W14,2027-04-09,"
              "Make 100 L: Mix for potting,,0.5,,potters,,Mixer,,"));
  const auto lines = lines_of(csv);
  const auto commas = [](const std::string& line) {
    std::size_t out = 0;
    bool quoted = false;
    for (const char c : line) {
      if (c == '"') quoted = !quoted;
      if (c == ',' && !quoted) ++out;
    }
    return out;
  };
  for (const std::string& line : lines) CHECK(commas(line) == commas(lines.front()));
  const json plan = json::parse(sample.orders(Format::json));
  REQUIRE(plan["makings"].size() == 1);
  const json& one = plan["makings"][0];
  CHECK(one["id"] == "mix/make/2027-04-09");
  CHECK(one["amount"] == 100);
  CHECK(one["needed"] == 80);
  CHECK(one["unit"] == "L");
  CHECK(one["batches"] == json{"A1"});
  CHECK(one["supplies"][0]["supply"] == "peat");
  CHECK(one["line"] == "leaf_cuttings.bud:5");
}

TEST_CASE("needs tell what is made, and what goes in") {
  PottedInMix sample;
  const std::string table = sample.needs(Format::table);
  CAPTURE(table);
  CHECK(shows(table, "  Potting mix       80 L           100 L made here, 1 time\n"));
  CHECK(shows(table, "Peat-free base  1 pack of 70 L"));
  CHECK_FALSE(shows(table, "Potting mix     1"));
  NeedsView view;
  view.explain = true;
  CHECK(shows(sample.needs(Format::table, view), "use 60 L peat (for mix), leaf_cuttings.bud:6"));
  CHECK(shows(sample.needs(Format::csv), "supply,mix,Potting mix,80,L,no,,,0,,0,,,,,,,,,100\r\n"));
  const json needs = json::parse(sample.needs(Format::json));
  CHECK(needs["supplies"][1]["supply"] == "mix");
  CHECK(needs["supplies"][1]["made"]["amount"] == 100);
  CHECK(needs["supplies"][1]["made"]["times"] == 1);
  CHECK(needs["supplies"][1]["buy"] == 0);
}

TEST_CASE("what if a mix were made in other vessels") {
  PottedInMix sample;
  text::Sources sources;
  text::Diagnostics found;
  const auto tried = plan::what_if(sample.plan(), {"site.mix.vessel=40 L"}, sources, found);
  REQUIRE(tried.has_value());
  const plan::Plan after = plan::make_plan(tried->book, found);
  const Comparison both{sample.plan(), after, tried->changes};
  std::ostringstream out;
  write_plan_differences(out, both, {}, Format::table);
  CAPTURE(out.str());
  CHECK(shows(out.str(), "site mix.vessel"));
  CHECK(shows(out.str(), "Potting mix, Fri 2027-04-09, amount"));
  CHECK(shows(out.str(), "-20 L"));
  std::ostringstream needs;
  write_needs_differences(needs, both, plan::total_needs(sample.plan()), plan::total_needs(after),
                          false, Format::csv);
  CAPTURE(needs.str());
  CHECK(shows(needs.str(), "supply,,mix,Potting mix,made here,100,80,-20,L"));
}
