#include <doctest/doctest.h>

#include "../day.hpp"
#include "../report/sample_plan.hpp"
#include "../words.hpp"
#include "pictures/pictures.hpp"

using namespace budwood;
using budwood::tests::day;
using namespace budwood::pictures;
using budwood::tests::count;
using budwood::tests::has;
using report::test::SamplePlan;

namespace {

std::string batch_plan(SamplePlan& sample, std::optional<calendar::Day> today = std::nullopt,
                       bool drawn = true) {
  std::ostringstream out;
  CHECK(write_batch_plan(out, sample.plan(), 0, today) == drawn);
  return out.str();
}
std::string season(SamplePlan& sample, const report::Filter& filter = {},
                   std::optional<calendar::Day> today = std::nullopt, bool drawn = true) {
  std::ostringstream out;
  CHECK(write_season(out, sample.plan(), filter, today) == drawn);
  return out.str();
}
std::string settings(SamplePlan& sample, const report::Filter& filter = {}, bool drawn = true) {
  std::ostringstream out;
  CHECK(write_settings(out, sample.plan(), filter) == drawn);
  return out.str();
}

/// Whether a line of text of the picture holds this.
bool shows(const std::string& picture, const std::string& words) {
  for (const std::string& line : report::test::lines_of(picture)) {
    if (line.starts_with("<text") && has(line, words)) return true;
  }
  return false;
}
double height_of(const std::string& picture) {
  const std::string before = " height=\"";
  return std::stod(picture.substr(picture.find(before) + before.size()));
}

const char* joined_parts = R"(protocol grafts "Grafts" {
  observe callus in %  "share of unions with callus"
  part scion "Scion"
  part stock "Stock"
  part plant "Plant"
  stage sow_scion of scion "Sow the scion" { lasts 10 days  room house }
  stage sow_stock of stock "Sow the stock" { lasts 6 days  room house }
  stage graft joins scion with stock into plant "Graft" { lasts 1 day  room shed }
  stage heal of plant "Heal" {
    lasts 8 to 12 days usually 9 days
    until callus >= 80 %, at most 12 days
    room frame
    keep air 77 degF to 80 degF
    keep humidity 95 % until day 3
    taper humidity 95 % to 70 % from day 4 to last day
    mist 10 s every 30 min from 07:00 to 19:00 until day 3
    do "Look at twenty" daily from day 2 { time 10 min }
  }
}
)";

}  // namespace

TEST_CASE("a batch: what it is, its stages with dates, work and the range of their ends") {
  SamplePlan sample;
  sample.add_batch("L1", 40, "2027-05-14");
  const std::string text = batch_plan(sample);
  CHECK(shows(text, "Batch L1: 40 plants ready on Fri 2027-05-14"));
  CHECK(shows(text, "Leaf cuttings, edition 3"));
  CHECK(shows(text, "Mill Bank"));
  CHECK(shows(text, ">Rooting<"));
  CHECK(shows(text, ">potting<"));
  CHECK(shows(text, "21 days; may end"));
  CHECK(shows(text, "propagator; 50 plants, 40 plants at its end"));
  CHECK(shows(text, "Cut leaves, lay on the mix"));
  CHECK(shows(text, "it may end as early or as late as this"));
  CHECK(shows(text, ">May 2027<"));
  CHECK(shows(text, ">W18<"));
  CHECK(text == batch_plan(sample));
}

TEST_CASE("parts have lanes and meet; a gate is told with its words") {
  SamplePlan sample(joined_parts);
  sample.add_batch("G1", 10, "2027-05-14");
  REQUIRE(sample.plan().batches.at(0).dated);
  const std::string text = batch_plan(sample);
  for (const char* part : {">Scion<", ">Stock<", ">Plant<"}) CHECK(shows(text, part));
  CHECK(shows(text, "until callus &gt;= 80 %"));
  CHECK(shows(text, "parts are joined"));
  CHECK(count(text, "stroke-width=\"2\" marker-end") == 3);  // two joins and the legend
}

TEST_CASE("today is a line within the days of a picture, and a sentence outside them") {
  SamplePlan sample;
  sample.add_batch("L1", 40, "2027-05-14");
  CHECK(shows(batch_plan(sample, day("2027-05-03")), ">today, Mon 2027-05-03<"));
  CHECK(shows(season(sample, {}, day("2027-05-03")), ">today, Mon 2027-05-03<"));
  for (const auto& [date, words] :
       {std::pair{"2027-01-04", "Today, Mon 2027-01-04, comes before these days."},
        std::pair{"2028-01-03", "Today, Mon 2028-01-03, comes after these days."}}) {
    for (const std::string& text : {batch_plan(sample, day(date)), season(sample, {}, day(date))}) {
      CHECK(shows(text, words));
      CHECK_FALSE(shows(text, ">today,"));
    }
  }
  CHECK_FALSE(has(batch_plan(sample), "oday"));
}

TEST_CASE("a batch without dates") {
  SamplePlan sample;
  book::Batch& batch = sample.add_batch("N1", 10, "2027-05-14");
  batch.pins.push_back({"rooting", book::Pin::Side::start, day("2027-05-10"), {}});
  REQUIRE_FALSE(sample.plan().batches.at(0).dated);
  CHECK(shows(batch_plan(sample, std::nullopt, false), "It has no dates"));
  CHECK(shows(season(sample, {}, std::nullopt, false), "No batches with dates."));
  CHECK(shows(settings(sample, {}, false), "No settings."));
}

TEST_CASE("what users wrote is text, whatever it is") {
  const std::string hostile = "<script>x</script> & 'a' \xE2\x80\xAE turned \xF0\x9F\x8C\xB1 ";
  std::string longer = hostile;
  while (longer.size() < 1900) longer += "word ";
  SamplePlan sample("protocol p \"" + longer + "\" {\n  part a \"" + longer +
                    "\"\n  stage s of a \"" + longer +
                    "\" {\n    lasts 30 days\n    room r\n    keep air 20 degC\n    do \"" +
                    longer + "\" on day 1 { rate 60 per hour }\n  }\n}\n");
  sample.add_batch("H1", 10, "2027-05-14").note = longer;
  sample.book().site.name.value = longer;
  REQUIRE(sample.plan().batches.at(0).dated);
  for (const std::string& text : {batch_plan(sample), season(sample), settings(sample)}) {
    CHECK_FALSE(has(text, "<script"));
    CHECK_FALSE(has(text, "\xE2\x80\xAE"));
    CHECK(has(text, "&lt;script&gt;x&lt;/script&gt; &amp; 'a' ?"));
    CHECK(shows(text, "\u2026"));
  }
}

TEST_CASE("a season: batches by start, as high as they need, with rooms and crews below") {
  SamplePlan sample;
  sample.add_batch("B", 40, "2027-06-11");
  sample.add_batch("A", 40, "2027-05-14");
  const std::string text = season(sample);
  CHECK(shows(text, ">A<"));
  CHECK(text.find(">A</text>") < text.find(">B</text>"));
  CHECK(shows(text, "40 plants, ready 2027-05-14; Leaf"));
  CHECK(shows(text, ">Rooting<"));
  CHECK(shows(text, ">propagator<"));
  CHECK(shows(text, "Rooms and crews"));
  CHECK(text == season(sample));

  report::Filter one;
  one.batch = "A";
  CHECK_FALSE(shows(season(sample, one), ">B<"));
  CHECK(height_of(season(sample, one)) < height_of(text));
  report::Filter bench;
  bench.room = "bench";
  CHECK_FALSE(has(season(sample, bench), "Rooting"));
  report::Filter potting;
  potting.crew = "potting";
  CHECK_FALSE(has(season(sample, potting), "Rooting,"));
  CHECK(has(season(sample, potting), "potting, "));
  report::Filter later;
  later.from = day("2027-07-01");
  season(sample, later, std::nullopt, false);
}

TEST_CASE("settings: panels in the units in which they are written, ranges as bands") {
  SamplePlan sample(joined_parts);
  sample.add_batch("G1", 10, "2027-05-14");
  const std::string text = settings(sample);
  CHECK(shows(text, "Settings of batch G1"));
  for (const char* words : {">Temperature<", ">degF<", ">Humidity<", ">%<", ">kPa<",
                            ">Mist pulses a day<", ">min<", ">77 to 80<", ">95<", ">70<", ">24<"}) {
    CAPTURE(words);
    CHECK(shows(text, words));
  }
  CHECK_FALSE(shows(text, "degC"));
  CHECK(has(text, "fill=\"url(#hatch)\""));
  CHECK(text == settings(sample));
  report::Filter elsewhere;
  elsewhere.room = "shed";
  settings(sample, elsewhere, false);
}

TEST_CASE("settings by day and by night are two curves, told apart without colour") {
  SamplePlan sample;
  sample.add_batch("L1", 40, "2027-05-14");
  const std::string text = settings(sample);
  CHECK(shows(text, ">air by day<"));
  CHECK(shows(text, ">air by night<"));
  CHECK(shows(text, ">humidity<"));
  CHECK(has(text, "stroke-width=\"1.8\" stroke-dasharray=\"6 4\""));
}

TEST_CASE("settings of several batches stand below each other") {
  SamplePlan sample;
  sample.add_batch("L1", 40, "2027-05-14");
  sample.add_batch("L2", 40, "2027-05-28");
  const std::string text = settings(sample);
  CHECK(shows(text, "Settings of 2 batches"));
  CHECK(shows(text, "Batch L1: Leaf cutting"));
  CHECK(shows(text, "Batch L2: Leaf cutting"));
}

TEST_CASE("more rooms than fillings share the last one, and the legend names them") {
  std::string protocol = "protocol many \"Many\" {\n  part a\n";
  for (char c = 'a'; c <= 'n'; ++c) {
    protocol += std::string("  stage s_") + c + " of a { lasts 3 days  room room_" + c + " }\n";
  }
  SamplePlan sample(protocol + "}\n");
  sample.add_batch("M1", 10, "2027-05-14");
  const std::string text = season(sample);
  CHECK(shows(text, ">room_k<"));
  CHECK(shows(text, ">room_l, room_m, room_n<"));
}
