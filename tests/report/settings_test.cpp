#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "book/batches/batch.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "sample_plan.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::lines_of;
using budwood::report::test::SamplePlan;
using nlohmann::json;

namespace {

/// Two stages of an orchid-like plant: closed and wet, then opened at once.
const char* const deflasking = R"(protocol deflasking "Deflasking" {
  part plantlet "Plantlet"
  stage closed of plantlet "Closed box" {
    lasts 3 days
    room fog
    keep air 25 degC by day
    keep air 20 degC by night
    keep humidity 90 %
    keep light 100 umol/m2/s for 12 h
    mist 20 s every 45 min until day 2
  }
  stage rest of plantlet { lasts 1 day  room bench }
  stage opened of plantlet "Opened box" {
    lasts 2 days
    room bench
    keep air 25 degC
    keep humidity 70 %
    keep root_zone 20 to 22 degC
    keep co2 at most 800 ppm by day
  }
}
)";

struct Sample : SamplePlan {
  explicit Sample(const std::string& protocol) : SamplePlan(protocol) {
    add_batch("A1", 10, "2027-04-16");
    book().site.rooms["fog"].mist_flow = book::Placed<double>{0.9e-3 / 60, {}};
  }
};

/// The same without the stage between them.
std::string at_once() {
  std::string text = deflasking;
  const std::size_t rest = text.find("  stage rest");
  text.erase(rest, text.find("  stage opened") - rest);
  return text;
}

}  // namespace

TEST_CASE("what is set and what the plants feel, day by day") {
  Sample sample(at_once());
  const std::string text = sample.settings(Format::table);
  CAPTURE(text);
  // Vapour pressure deficit after FAO-56, Eq. 11 and 12: e(25 degC) = 3.168 kPa, e(20 degC) =
  // 2.338 kPa (its Annex 2, Table 2.3); a tenth of that is wanting at 90 %, three tenths at 70 %.
  // 100 umol/m2/s for 12 h are 4.32 mol/m2.
  CHECK(text.find("\nBatch A1, Closed box, room fog, Sun 2027-04-11 to Tue 2027-04-13\n") !=
        std::string::npos);
  CHECK(text.find("2027-04-11    1      25        20        90   0.317     0.234") !=
        std::string::npos);
  const auto lines = lines_of(text);
  CHECK(std::any_of(lines.begin(), lines.end(), [](const std::string& line) {
    return line.starts_with("  2027-04-12    2") && line.ends_with("32   640   9.6");
  }));
  CHECK(
      text.find(
          "\nBatch A1, Opened box, room bench, Wed 2027-04-14 to Thu 2027-04-15\n"
          "  Vapour pressure deficit against the end of the stage before: 0.63 kPa higher by day, "
          "0.72 kPa\n  higher by night.\n") != std::string::npos);
  CHECK(text.find("2027-04-14    1    25  20 to 22        70  0.95") != std::string::npos);
  CHECK(text.find("up to 800") != std::string::npos);
}

TEST_CASE("columns that are empty throughout a stage are left out, and stages that set nothing") {
  Sample sample(deflasking);
  const std::string text = sample.settings(Format::table);
  CHECK(text.find("Mist") < text.find("Opened box"));
  CHECK(text.find("Mist", text.find("Opened box")) == std::string::npos);
  CHECK(text.find("rest") == std::string::npos);
  CHECK(text.find("Leaf") == std::string::npos);
}

TEST_CASE("tables keep to the page; what does not fit stands below") {
  Sample sample(at_once());
  for (const std::size_t width : {50U, 80U, 100U}) {
    Style style;
    style.width = width;
    const std::string text = sample.settings(Format::table, {}, style);
    for (const std::string& line : lines_of(text)) {
      CAPTURE(line);
      CHECK(text::display_width(line) <= width);
    }
    CHECK(text.find("9.6") != std::string::npos);
  }
}

TEST_CASE("a row a day with all columns") {
  Sample sample(at_once());
  const auto lines = lines_of(sample.settings(Format::csv));
  REQUIRE(lines.size() == 6);
  CHECK(lines[0] ==
        "batch,protocol,stage,room,date,day,waited,air_day (degC),air_night (degC),leaf_day (degC),"
        "leaf_night (degC),root_zone_day (degC),root_zone_night (degC),humidity_day (%),"
        "humidity_night (%),vpd_day (kPa),vpd_night (kPa),dew_point_day (degC),"
        "dew_point_night (degC),light (umol/m2/s),light_sum (mol/m2/day),photoperiod (h),"
        "shade_day (%),shade_night (%),co2_day (ppm),co2_night (ppm),irrigation "
        "(L/m2/day),night_break (h),"
        "mist_interval (min),mist_pulses,mist_time (s),mist_volume (L),set_air_day (degC),"
        "set_air_night (degC),set_leaf_day (degC),set_leaf_night (degC),set_root_zone_day (degC),"
        "set_root_zone_night (degC),set_humidity_day (%),set_humidity_night (%),set_vpd_day (kPa),"
        "set_vpd_night (kPa),set_light (umol/m2/s),set_light_sum (mol/m2/day),set_photoperiod "
        "(h),set_shade_day (%),"
        "set_shade_night (%),set_co2_day (ppm),set_co2_night (ppm),set_irrigation "
        "(L/m2/day),set_night_break (h),"
        "set_mist_interval (min),set_mist_pulses,set_mist_time (s),set_mist_volume (L),daylight "
        "(mol/m2),lamps (h),lamp_energy (kWh/m2),waterings\r");
  CHECK(lines[1].starts_with("A1,deflasking,closed,fog,2027-04-11,1,0,25,20,,,,,90,90,0.3167"));
  CHECK(lines[1].ends_with(
      ",100,4.32,12,,,,,,,45,32,640,9.6,25,20,,,,,90,90,,,100,,,,,,,,,45,32,640,9.6,,,,\r"));
  // The mist is over.
  CHECK(lines[3].ends_with(",100,4.32,12,,,,,,,,,,,25,20,,,,,90,90,,,100,,,,,,,,,,,,,,,,\r"));
  CHECK(lines[4].starts_with("A1,deflasking,opened,bench,2027-04-14,1,0,25,25,,,21,21,70,70,0.95"));
}

TEST_CASE("the same as a list of objects") {
  Sample sample(at_once());
  const json days = json::parse(sample.settings(Format::json));
  REQUIRE(days.size() == 5);
  CHECK(days[0]["batch"] == "A1");
  CHECK(days[0]["stage"] == "closed");
  CHECK(days[0]["date"] == "2027-04-11");
  CHECK(days[0]["day"] == 1);
  CHECK(days[0]["air_night"] == 20);
  CHECK(days[0]["vpd_day"].get<double>() == doctest::Approx(0.1 * 3.168).epsilon(0.001));
  CHECK(days[0]["vpd_night"].get<double>() == doctest::Approx(0.1 * 2.338).epsilon(0.001));
  CHECK(days[0]["light_sum"] == 4.32);
  CHECK(days[0]["mist_volume"] == 9.6);
  CHECK(days[2]["mist_pulses"].is_null());
  CHECK(days[0]["leaf_day"].is_null());
}

TEST_CASE("the filter chooses batches, stages and days") {
  Sample sample(at_once());
  sample.add_batch("A2", 10, "2027-05-14");
  CHECK(json::parse(sample.settings(Format::json)).size() == 10);
  Filter filter;
  filter.batch = "A2";
  CHECK(json::parse(sample.settings(Format::json, filter)).size() == 5);
  filter.room = "bench";
  CHECK(json::parse(sample.settings(Format::json, filter)).size() == 2);
  filter.from = calendar::parse_iso_date("2027-05-13");
  const json day = json::parse(sample.settings(Format::json, filter));
  REQUIRE(day.size() == 1);
  CHECK(day[0]["day"] == 2);
  filter.room = "shed";
  CHECK(sample.settings(Format::json, filter) == "[]\n");
  CHECK(sample.settings(Format::table, filter) ==
        "Settings of Mill Bank\n\nNo settings from 2027-05-13 on for batch `A2` in room `shed`.\n");
}

TEST_CASE("while plants wait for the next stage the settings of the last day go on") {
  Sample sample(R"(protocol waiting { part plant
    stage damp of plant { lasts 3 days  may wait 4 days  room fog  keep humidity 90 % until day 2
      keep air 20 degC }
    stage pot of plant { lasts 1 day  room bench  do "Pot" on day 1 { crew c } } })");
  // Tuesday the 13th to Thursday, then three days of waiting; potted on Monday.
  book::Batch& batch = sample.book().batches.front();
  batch.ready->value = *calendar::parse_iso_date("2027-04-20");
  batch.pins.push_back(
      {"damp", book::Pin::Side::start, *calendar::parse_iso_date("2027-04-13"), {}});
  const std::string text = sample.settings(Format::table);
  CAPTURE(text);
  CHECK(text.find("  2027-04-15     3    20") != std::string::npos);
  CHECK(text.find("  2027-04-18  3 +3    20") != std::string::npos);
  CHECK(text.find("Tue 2027-04-13 to Thu 2027-04-15; plants wait there to Sun 2027-04-18\n") !=
        std::string::npos);
  const json days = json::parse(sample.settings(Format::json));
  REQUIRE(days.size() == 6);
  CHECK(days[1]["humidity_day"] == 90);
  CHECK(days[2]["waited"] == 0);
  CHECK(days[5]["date"] == "2027-04-18");
  CHECK(days[5]["day"] == 3);
  CHECK(days[5]["waited"] == 3);
  CHECK(days[5]["air_day"] == 20);
  CHECK(days[5]["humidity_day"].is_null());
}
