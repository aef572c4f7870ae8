#include <cmath>

#include "sample.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/dates/dates.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"

/// Seasons, distances, degree-days, chilling, gates and repeats, from text to dates.
using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

double kelvin(double celsius) {
  return celsius + 273.15;
}

/// A site whose every day from `first` has this minimum and maximum, in degC.
Site of_even_days(const std::string& first, int days, double minimum, double maximum) {
  std::vector<climate::SeriesRow> rows;
  for (int i = 0; i < days; ++i) {
    rows.push_back({day(first) + i, {kelvin(minimum), kelvin(maximum)}});
  }
  Site site;
  const auto series = climate::DailySeries::from_rows(rows);
  REQUIRE(series);
  site.series = std::make_shared<const climate::DailySeries>(*series);
  return site;
}

int length(const Sample& sample, const Sheet& sheet, const std::string& stage) {
  return static_cast<int>(sample.value(sheet, stage + ".days"));
}

std::string conflict_lines(const Sheet& sheet) {
  std::string out;
  if (!sheet.conflict(0)) return out;
  for (const DateConflict::Line& line : sheet.conflict(0)->lines) out += line.text + "\n";
  for (const auto& repair : sheet.conflict(0)->repairs) out += "+ " + repair.text + "\n";
  return out;
}

}  // namespace

TEST_CASE("a season moves by half a year south of the equator") {
  const Sample sample(protocol(R"(
  stage cut of plant { season 10 December to 20 January  lasts 1 day  may wait 400 days }
  stage grow of plant { lasts 10 days }
)"));
  Site south;
  south.southern = true;
  CHECK(shown(sample.value(sample.sheet({ready_by("2027-05-09")}), "cut.start")) ==
        "2027-01-20 Wed");
  CHECK(shown(sample.value(sample.sheet({ready_by("2027-05-09")}, south), "cut.start")) ==
        "2026-07-20 Mon");
  // Across New Year, in the year before.
  CHECK(shown(sample.value(sample.sheet({ready_by("2027-01-04")}), "cut.start")) ==
        "2026-12-24 Thu");
  CHECK(shown(sample.value(sample.sheet({not_before("2027-02-01")}), "cut.start")) ==
        "2027-12-10 Fri");
}

TEST_CASE("a season and working days hold together") {
  const Sample sample(protocol(R"(
  stage cut of plant { season 1 May to 2 May  lasts 1 day  do "Cut" on day 1 { crew all } }
)"));
  // 1 and 2 May are a weekend in 2027, and Sunday and Monday in 2028.
  CHECK(conflict_lines(sample.sheet({ready_by("2027-05-20")}, weekdays())).empty());
  CHECK(shown(sample.value(sample.sheet({not_before("2027-04-01")}, weekdays()), "cut.start")) ==
        "2028-05-01 Mon");
}

TEST_CASE("a season out of reach is told with what would help") {
  const Sample sample(protocol(R"(
  stage cut of plant { season 1 January to 31 January  lasts 20 days  may wait 40 days }
  stage bud of plant { season 1 June to 15 June  lasts 5 days }
)"));
  Sheet sheet = sample.sheet({ready_by("2027-08-01")});
  CHECK(conflict_lines(sheet) ==
        "`cut` starts from 1 January to 31 January; it would have to start on Wednesday "
        "2027-05-26.\n"
        "`cut` lasts 20 days.\n"
        "After `cut` plants wait at most 40 days for `bud`.\n"
        "`bud` starts from 1 June to 15 June; it would have to start on Tuesday 2027-07-27.\n"
        "+ Start `bud` out of season, on Thursday 2027-04-01.\n"
        "+ Start `cut` out of season, on Friday 2027-04-02.\n"
        "+ Let plants wait up to 101 days after `cut` (`may wait 101 days`).\n");
  // 31 January, 20 days and 101 days of waiting reach 1 June in a common year.
  const Sample repaired(protocol(R"(
  stage cut of plant { season 1 January to 31 January  lasts 20 days  may wait 101 days }
  stage bud of plant { season 1 June to 15 June  lasts 5 days }
)"));
  CHECK(conflict_lines(repaired.sheet({ready_by("2027-08-01")})).empty());
}

TEST_CASE("a stage starts at a distance from another, before or after it") {
  const Sample sample(protocol(R"(
  part stock  part graft
  stage sow of plant { lasts 10 days  may wait 30 days }
  stage sow_stock of stock { starts within -6 days to -4 days of sow.start  lasts 20 days  may wait 30 days }
  stage meet joins plant with stock into graft { starts within 12 to 13 days of sow.end  lasts 1 day }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-31")});
  CHECK(shown(sample.value(sheet, "meet.start")) == "2027-05-30 Sun");
  CHECK(shown(sample.value(sheet, "sow.end")) == "2027-05-18 Tue");          // 12 days before
  CHECK(shown(sample.value(sheet, "sow_stock.start")) == "2027-05-04 Tue");  // 4 before 8 May
}

// Brewster 2008, Onions and Other Vegetable Alliums, 2nd ed., Eqns 4.6-4.7: 80 degree-days above
// 2.5 degC at a constant 22.5 degC are 4 days.
TEST_CASE("degree-days of the air that a stage keeps") {
  const Sample sample(protocol(R"(
  stage sprout of plant { lasts 80 degree_days above 2.5 degC  keep air 22.5 degC }
  stage cool of plant {
    lasts 60 to 90 degree_days usually 75 degree_days above 5 degC up to 20 degC
    keep air 25 degC by day
    keep air 10 degC by night
  }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-31")});
  CHECK(length(sample, sheet, "sprout") == 4);
  // By day 15 above the base, as it counts no more than 20; by night 5; 10 on average.
  CHECK(length(sample, sheet, "cool") == 8);
  CHECK(sample.value(sheet, "cool.shortest") == 6);
  CHECK(sample.value(sheet, "cool.longest") == 9);
}

TEST_CASE("degree-days that the air never brings are refused") {
  for (const char* keeps : {"keep air 12 degC", "keep root_zone 9 degC"}) {
    CAPTURE(keeps);
    Sample sample(protocol("stage grow of plant { lasts 95 degree_days above 12 degC  " +
                           std::string(keeps) + " }"));
    CHECK(sample.findings().find("is never warmer than its base temperature") != std::string::npos);
  }
  Sample upside_down(
      protocol("stage grow of plant { lasts 9 degree_days above 12 degC up to 8 degC  keep air 20 "
               "degC }"));
  CHECK(upside_down.findings().find("The upper limit of the degree-days is not above their base") !=
        std::string::npos);
}

// One day of 40 to 70 degF above 50 degF: 5.0, 10.0, 7.5 and 7.54 degree-days F after McMaster &
// Wilhelm 1997 (methods 1 and 2), the four-case rule of Met Eireann, and Baskerville & Emin 1969.
TEST_CASE("degree-days of the site's temperatures depend on the method") {
  const auto days_by = [](const std::string& method) {
    // 150 degF-days are 30, 15, 20 and 19.9 such days.
    const Sample sample(
        protocol("let sum = 150 degree_days * (5 / 9)\n"
                 "stage grow of plant { lasts sum above 50 degF by " +
                 method + " }"));
    const Site site = of_even_days("2027-01-01", 300, 40.0 / 9, 190.0 / 9);
    const Sheet sheet = sample.sheet({ready_by("2027-06-01")}, site);
    return length(sample, sheet, "grow");
  };
  CHECK(days_by("average_limited_after") == 30);
  CHECK(days_by("average_limited_each") == 15);
  CHECK(days_by("quarter_rule") == 20);
  CHECK(days_by("single_sine") == 20);
}

TEST_CASE("outside its temperatures a site cannot say how long a stage lasts") {
  const Sample sample(
      protocol("stage grow of plant { lasts 100 degree_days above 5 degC by single_sine }"));
  const Site site = of_even_days("2027-03-01", 60, 5, 25);
  CHECK(length(sample, sample.sheet({ready_by("2027-04-20")}, site), "grow") == 10);
  const std::string lines = conflict_lines(sample.sheet({ready_by("2027-03-05")}, site));
  CAPTURE(lines);
  CHECK(lines.find("`grow` lasts as long as the site's temperatures make it; they are known from "
                   "Monday 2027-03-01 to Thursday 2027-04-29.\n") != std::string::npos);
  CHECK_FALSE(conflict_lines(sample.sheet({started_on("2027-04-25")}, site)).empty());
}

// Hours below a threshold and Utah units after Richardson, Seeley & Walker 1974: on even days of 2
// to 6 degC every hour is below 7 degC and in the band that counts one unit (36 to 48 degF) or half
// of it.
TEST_CASE("a gate counts chilling on the site's temperatures") {
  const Site site = of_even_days("2026-11-01", 200, 3, 6);
  const auto days_until = [&](const std::string& gate, const std::string& lasts) {
    const Sample sample(
        protocol("stage cold of plant { lasts " + lasts + "  until " + gate + " }"));
    return length(sample, sample.sheet({ready_by("2027-04-01")}, site), "cold");
  };
  CHECK(days_until("chill_hours(7 degC) >= 240 h, at most 90 days", "1 day") == 10);
  CHECK(days_until("chill_hours(0 degC, 7 degC) >= 240 h, at most 90 days", "1 day") == 10);
  CHECK(days_until("utah_units() >= 480, at most 90 days", "1 day") == 20);
  CHECK(days_until("positive_utah_units() >= 480, at most 90 days", "1 day") == 20);
  // At least its usual length, and no longer than `at most`.
  CHECK(days_until("chill_hours(7 degC) >= 240 h, at most 90 days", "14 days") == 14);
  CHECK(days_until("chill_hours(7 degC) >= 2400 h, at most 30 days", "14 days") == 30);
}

// The temperatures of lily, 0, 5 and 21 degC, on even days of 3 to 6 degC bring a little less than
// a day each: every hour of them between 0.9 and 1.
TEST_CASE("a gate counts vernalisation on the site's temperatures") {
  const Sample sample(
      protocol("stage cold of plant { lasts 1 day  until vernal_days(0 degC, 5 degC, 21 degC) >= "
               "40 days, at "
               "most 90 days }"));
  const Sheet sheet = sample.sheet({ready_by("2027-04-01")}, of_even_days("2026-11-01", 200, 3, 6));
  CHECK(length(sample, sheet, "cold") == 41);
}

namespace {
/// The usual length of a stage `cold` that keeps something, at a site that tells no temperatures.
int cold_days(const std::string& statements) {
  const Sample sample(protocol("stage cold of plant { " + statements + " }"));
  const Sheet sheet = sample.sheet({ready_by("2027-04-01")});
  CHECK(conflict_lines(sheet).empty());
  return length(sample, sheet, "cold");
}

std::string cold_findings(const std::string& statements) {
  Sample sample(protocol("stage cold of plant { " + statements + " }"));
  return sample.findings();
}
}  // namespace

// Richardson, Seeley & Walker 1974: 2 degC is 35.6 degF, half a unit an hour; 4 degC is 39.2 degF,
// one; 1 degC is 33.8 degF, none.
TEST_CASE("chilling at what a stage keeps needs no temperatures of the site") {
  const std::string hours = "lasts 1 day  until chill_hours(7 degC) >= 1000 h  ";
  CHECK(cold_days(hours + "keep air 2 degC") == 42);  // 41.67 days of 24 hours
  CHECK(cold_days(hours + "keep air 9 degC by day  keep air 5 degC by night") == 84);
  CHECK(cold_days(hours + "keep air 5 degC by night") == 42);
  CHECK(cold_days(hours + "keep air 2 to 4 degC") == 42);
  CHECK(cold_days(hours + "keep root_zone 5 degC") == 42);
  CHECK(cold_days(hours + "keep air 20 degC  keep root_zone 5 degC  keep air 2 degC") == 42);
  const std::string units = "lasts 1 day  until utah_units() >= 480  ";
  CHECK(cold_days(units + "keep air 2 degC") == 40);
  CHECK(cold_days(units + "keep air 4 degC") == 20);
  CHECK(cold_days(units + "keep air 4 degC by day  keep air 1 degC by night") == 40);
  const std::string vernal = "lasts 1 day  until vernal_days(0 degC, 5 degC, 21 degC) >= 40 days  ";
  CHECK(cold_days(vernal + "keep air 5 degC") == 40);
  CHECK(cold_days(vernal + "keep air 4 degC") == 41);   // 40 / 0.98956
  CHECK(cold_days(vernal + "keep air 12 degC") == 56);  // 40 / 0.72300
  // At least its usual length.
  CHECK(cold_days("lasts 60 days  until utah_units() >= 480  keep air 4 degC") == 60);
}

TEST_CASE("chilling counts levels and tapers day by day") {
  // 10 days without any, then 24 hours a day.
  CHECK(
      cold_days("lasts 1 day  until chill_hours(7 degC) >= 240 h  keep air 9 degC until day 10, 3 "
                "degC") == 20);
  // 12, 10, 8, 6, 4 degC, and then 2: below 7 degC from day 4 on.
  CHECK(cold_days("lasts 1 day  until chill_hours(7 degC) >= 240 h  keep air 2 degC  taper air 12 "
                  "degC to 4 degC from day 1 to day 5") == 13);
  CHECK(cold_days("lasts 1 day  until chill_hours(7 degC) >= 240 h  keep air 2 degC  taper air 12 "
                  "degC to 4 degC over 5 days") == 13);
}

TEST_CASE("what a stage keeps `at least` is left to the weather") {
  const Sample sample(
      protocol("stage cold of plant { lasts 1 day  until chill_hours(7 degC) >= 240 h, at most 90 "
               "days  keep air at least -2 degC }"));
  const Sheet sheet = sample.sheet({ready_by("2027-04-01")}, of_even_days("2026-11-01", 200, 3, 6));
  CHECK(length(sample, sheet, "cold") == 10);
}

TEST_CASE("cold that cannot be counted is told") {
  const std::string hours = "lasts 1 day  until chill_hours(7 degC) >= 1000 h";
  CHECK(cold_findings(hours + "  keep air 9 degC").find("its chilling is never reached") !=
        std::string::npos);
  CHECK(cold_findings(hours + ", at most 30 days  keep air 2 degC")
            .find("gives up before the stage is usually over") != std::string::npos);
  CHECK(
      cold_findings("lasts 1 day  until vernal_days(0 degC, 21 degC, 5 degC) >= 40 days  keep air "
                    "4 degC")
          .find("does not lie between") != std::string::npos);
  CHECK(cold_findings(hours + ", at most 60 days  keep air 2 degC").empty());
  // Where it is known how long it takes, nothing has to say when to give up.
  CHECK(cold_findings(hours + "  keep air 2 degC").empty());
}

TEST_CASE("a batch's own temperature changes its chilling") {
  const Sample sample(protocol(R"(
  input store = 4 degC from 0 degC to 12 degC
  stage cold of plant { lasts 1 day  until utah_units() >= 480  keep air store }
)"));
  BatchFacts colder = ready_by("2027-04-01");
  colder.inputs = {{sample.cell("store"), kelvin(2)}};
  const Sheet sheet = sample.sheet({ready_by("2027-04-01"), colder});
  CHECK(sample.value(sheet, "cold.days", 0) == 20);
  CHECK(sample.value(sheet, "cold.days", 1) == 40);
}

TEST_CASE("a gate widens the range of dates, not the plan") {
  const Sample sample(protocol(R"(
  observe callus in %
  stage heal of plant {
    lasts 8 to 10 days usually 9 days
    until callus >= 80 %, at most 21 days
    do "Look" every 3 days { time 5 min  record callus }
  }
  stage grow of plant { lasts 5 days }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-31")});
  CHECK(length(sample, sheet, "heal") == 9);
  CHECK(sample.value(sheet, "heal.latest") - sample.value(sheet, "heal.start") == 21);
  CHECK(sample.value(sheet, "heal.earliest") - sample.value(sheet, "heal.start") == 8);
  Sample hasty(protocol(R"(
  observe callus in %
  stage heal of plant {
    lasts 9 days
    until callus >= 80 %, at most 8 days
    do "Look" every 3 days { time 5 min  record callus }
  }
)"));
  CHECK(hasty.findings().find("gives up before the stage is usually over") != std::string::npos);
}

TEST_CASE("stages are gone through again, and formulas know the cycle") {
  const Sample sample(protocol(R"(
  repeat 3 times {
    stage grow of plant "Growing" { lasts 10 days + cycle * 1 day  loses 1 % * cycle }
    stage divide of plant { after grow  lasts 1 day }
  }
  stage harden of plant { after divide_3  lasts 7 days }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-31")});
  CHECK(sample.t().stages.size() == 7);
  CHECK(length(sample, sheet, "grow_1") == 11);
  CHECK(length(sample, sheet, "grow_3") == 13);
  CHECK(sample.value(sheet, "grow_2.loss") == doctest::Approx(0.02));
  CHECK(sample.t().protocol.stages[2].title == "Growing (cycle 2 of 3)");
  CHECK(shown(sample.value(sheet, "divide_3.end")) == shown(sample.value(sheet, "harden.start")));
}

// Days from sowing to emergence: Harrington & Minges 1954, as printed in Knott's Handbook for
// Vegetable Growers, 4th ed. 1997. Where a crop was not tested, or did not germinate, there is no
// value, and nothing is guessed.
TEST_CASE("emergence by soil temperature") {
  const auto days_at = [](const std::string& table, const std::string& soil) {
    Sample sample(protocol("table emergence(soil degC -> days) { " + table +
                           " }\nstage sprout of plant { lasts emergence(" + soil + ") }"));
    if (!sample.compiled()) return -1.0;
    return sample.value(sample.sheet({ready_by("2027-05-31")}), "sprout.usual");
  };
  const std::string tomato = "10: 43  15: 14  20: 8  25: 6  30: 6  35: 9";
  const std::string lettuce = "0: 49  5: 15  10: 7  15: 4  20: 3  25: 2  30: 3";
  CHECK(days_at(tomato, "20 degC") == 8);
  CHECK(days_at(tomato, "35 degC") == 9);  // slower again than at 30 degC
  CHECK(days_at(lettuce, "30 degC") == 3);
  CHECK(days_at(lettuce, "68 degF") == 3);
  CHECK(std::isnan(days_at(tomato, "5 degC")));    // did not germinate
  CHECK(std::isnan(days_at(lettuce, "35 degC")));  // dies out above 30 degC
}
