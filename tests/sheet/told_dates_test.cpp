/// Dates, ranges and floats of small protocols, each worked out by hand.
#include <array>

#include "sample.hpp"

namespace budwood::sheet::test {

namespace {

using calendar::Weekday;

Site worked_on(const std::vector<Weekday>& days) {
  Site site;
  site.working = calendar::WorkingDays(days, {});
  return site;
}

/// The same temperatures all the year.
void keep_temperatures(Site& site, double minimum, double maximum) {
  constexpr double zero = 273.15;
  std::array<climate::DayTemperature, 12> months;
  months.fill({zero + minimum, zero + maximum});
  const auto normals = climate::MonthlyNormals::from_months(months);
  site.series = std::make_shared<const climate::DailySeries>(
      *normals->daily(calendar::first_day, calendar::last_day));
}

/// "2027-03-21 Sun to 2027-03-31 Wed" of a stage.
std::string from_to(const Sample& sample, const Sheet& sheet, const std::string& stage) {
  return shown(sample.value(sheet, stage + ".start")) + " to " +
         shown(sample.value(sheet, stage + ".end"));
}

/// When the end of a stage may fall.
std::string may_end(const Sample& sample, const Sheet& sheet, const std::string& stage) {
  return shown(sample.value(sheet, stage + ".earliest")) + " to " +
         shown(sample.value(sheet, stage + ".latest"));
}

std::string told(const Sheet& sheet) {
  if (sheet.conflict(0) == nullptr) return "";
  std::string out;
  for (const DateConflict::Line& line : sheet.conflict(0)->lines) out += line.text + "\n";
  for (const auto& repair : sheet.conflict(0)->repairs) out += "+ " + repair.text + "\n";
  return out;
}

}  // namespace

TEST_CASE("`within` holds in a stage that lasts as the temperatures have it") {
  // 5 degree-days a day, so ten days; the work may fall up to three days late.
  const Sample sample(protocol(R"(
  stage grow of plant {
    lasts 50 degree_days above 5 degC by average_limited_after
    do "Thin" on day 1 within 3 days { crew all }
  }
)"));
  Site site = worked_on({Weekday::tuesday, Weekday::wednesday, Weekday::friday, Weekday::saturday});
  keep_temperatures(site, 5, 15);
  const Sheet sheet = sample.sheet({ready_by("2027-03-31")}, site);
  CHECK(from_to(sample, sheet, "grow") == "2027-03-21 Sun to 2027-03-31 Wed");
}

TEST_CASE("a sum that the temperatures never bring is told") {
  const Sample sample(protocol(R"(
  stage grow of plant { lasts 50 degree_days above 30 degC by average_limited_after }
)"));
  Site site;
  keep_temperatures(site, 5, 15);
  CHECK(
      told(sample.sheet({ready_by("2027-03-31")}, site)) ==
      "`grow` is never over: whatever day it starts on, the site's temperatures do not bring what "
      "it waits for.\n"
      "+ Ask for less in `grow`, or keep a temperature in it.\n");
}

TEST_CASE("may end: where nothing is uncertain, no date has a range") {
  const Sample sample(protocol(R"(
  part stock  part graft
  stage grow of plant { lasts 10 days }
  stage cut of stock { lasts 2 days  after grow  may wait 9 days }
  stage join joins plant with stock into graft { lasts 1 day  after grow by 0 to 9 days }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-14")});
  CHECK(may_end(sample, sheet, "cut") == "2027-05-13 Thu to 2027-05-13 Thu");
  CHECK(may_end(sample, sheet, "join") == "2027-05-14 Fri to 2027-05-14 Fri");
}

TEST_CASE("may end: a stage that had to wait is slow from its planned start on") {
  // Potting is on Mondays, so plants that are ready on a Thursday wait.
  const Sample sample(protocol(R"(
  stage root of plant { lasts 10 days  may wait 6 days  do "Stick" on day 1 { crew all } }
  stage pot of plant { lasts 4 to 9 days usually 5 days  do "Pot" on day 1 { crew all } }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-17")}, worked_on({Weekday::monday}));
  CHECK(from_to(sample, sheet, "root") == "2027-04-26 Mon to 2027-05-06 Thu");
  CHECK(from_to(sample, sheet, "pot") == "2027-05-10 Mon to 2027-05-15 Sat");
  CHECK(may_end(sample, sheet, "pot") == "2027-05-14 Fri to 2027-05-19 Wed");
}

TEST_CASE("may end: `starts within` holds in a quick and in a slow year") {
  const Sample sample(protocol(R"(
  stage sow of plant { lasts 5 to 9 days usually 7 days  may wait 20 days }
  stage grow of plant { lasts 3 days  starts within 6 to 20 days of sow.start }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-14")});
  CHECK(from_to(sample, sheet, "grow") == "2027-05-11 Tue to 2027-05-14 Fri");
  // Not on the 12th, five days after the start, but on the 13th.
  CHECK(may_end(sample, sheet, "grow") == "2027-05-13 Thu to 2027-05-16 Sun");
}

TEST_CASE("may end: the start does not wait for a last day that nature has not shown yet") {
  const Sample sample(protocol(R"(
  stage grow of plant { lasts 4 to 6 days usually 5 days  do "Lift" on last day { crew all } }
)"));
  // Lifted on Thursday 13; a day slower and it would be Friday, a day quicker Wednesday.
  const Sheet sheet = sample.sheet({ready_by("2027-05-16")}, weekdays());
  CHECK(from_to(sample, sheet, "grow") == "2027-05-09 Sun to 2027-05-14 Fri");
  CHECK(may_end(sample, sheet, "grow") == "2027-05-13 Thu to 2027-05-15 Sat");
}

TEST_CASE("float: counted to the day on which the batch is ready, not to the day asked for") {
  // s2 ends on Saturday 24 April; on Thursday 29 its work would find nobody.
  const Sample sample(protocol(R"(
  stage s1 of plant { lasts 3 days }
  stage s2 of plant { lasts 5 days  no wait  do "Look over" on day 4 within 1 day { crew all } }
)"));
  const Sheet sheet =
      sample.sheet({ready_by("2027-04-29")}, worked_on({Weekday::thursday, Weekday::saturday}));
  CHECK(shown(sample.value(sheet, "batch.ready")) == "2027-04-24 Sat");
  CHECK(sample.value(sheet, "s1.float") == 0);
  CHECK(sample.value(sheet, "s2.float") == 0);
}

TEST_CASE("conflict: a season is widened by as little as will do, and waiting is offered") {
  // 15 March and 20 days are 4 April, 11 days before the next season.
  const Sample sample(protocol(R"(
  stage cut of plant { season 1 January to 15 March  lasts 20 days }
  stage bud of plant { season 15 April to 30 April  lasts 5 days }
)"));
  const std::string text = told(sample.sheet({ready_by("2027-08-01")}, weekdays()));
  CAPTURE(text);
  CHECK(text.find("+ Let plants wait up to 11 days after `cut` (`may wait 11 days`).") !=
        std::string::npos);
  CHECK(text.find("+ Start `cut` out of season, on Friday 2027-03-26.") != std::string::npos);
}

}  // namespace budwood::sheet::test
