#include "plan/orders/setting_orders.hpp"
#include "book/batches/batch.hpp"
#include "plan/orders/setting_changes.hpp"
#include "plan/orders/settings.hpp"
#include "plan/plan.hpp"
#include "plan/settings/stage_settings.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// "2027-06-01 tent/all/set/2027-06-01 for A/callus, B/callus: air 20 degC; humidity 95 %" a line.
std::string told(const Plan& plan) {
  std::string out;
  for (const SettingOrder& order : setting_orders(plan)) {
    const SettingDetail detail = describe(plan, order);
    out += calendar::iso_date(detail.date) + " " + detail.id;
    std::string before = " for ";
    for (const std::string& one : detail.whom) {
      out += before + one;
      before = ", ";
    }
    before = ": ";
    for (const DaySetting& change : detail.changes) {
      out += before + describe(change);
      before = "; ";
    }
    out += detail.by_timer ? ", by timer\n" : "\n";
  }
  return out;
}

bool says(const std::string& all, const std::string& line) {
  return all.find(line) != std::string::npos;
}

const char* const fern = R"(protocol fern "Fern offsets" { part plant
  stage callus of plant { lasts 4 days  room tent
    keep air 22 degC  keep air 18 degC by night on day 2  keep humidity 90 % until day 3
    mist 8 s every 20 min from 08:00 to 18:00 until day 2
    mist 8 s every 60 min from 08:00 to 18:00 on day 3 }
  stage firming of plant { lasts 2 days  room tent
    keep air 22 degC  keep humidity 70 % }
  stage yard of plant { lasts 2 days  room yard  keep air 22 degC } })";

/// A site on which somebody is there every day.
struct EveryDay : Planned {
  explicit EveryDay(const std::string& protocol) : Planned(protocol) {
    site().working = calendar::WorkingDays();
  }
};

}  // namespace

TEST_CASE("each day on which something is set, changes or ends") {
  EveryDay planned(fern);
  planned.add("A", 10, "2027-06-09");
  CHECK(
      told(planned.plan()) ==
      "2027-06-01 tent/all/set/2027-06-01 for A/callus: air 22 degC; humidity 90 %; mist 8 s every "
      "20 min, 08:00 to 18:00\n"
      "2027-06-02 tent/all/set/2027-06-02 for A/callus: air by night 18 degC\n"
      "2027-06-03 tent/all/set/2027-06-03 for A/callus: air by night 22 degC; mist 8 s every 60 "
      "min, "
      "08:00 to 18:00\n"
      "2027-06-04 tent/all/set/2027-06-04 for A/callus: humidity not asked for any more; mist off\n"
      // In the same room the air goes on as it is; in another all is set.
      "2027-06-05 tent/all/set/2027-06-05 for A/firming: humidity 70 %\n"
      // What nobody else asks for ends in the room that they leave.
      "2027-06-07 tent/all/set/2027-06-07: air not asked for any more; humidity not asked for any "
      "more\n"
      "2027-06-07 yard/all/set/2027-06-07 for A/yard: air 22 degC\n"
      "2027-06-09 yard/all/set/2027-06-09: air not asked for any more\n");
}

TEST_CASE("a room has one order for all that stand in it, right for the most delicate") {
  EveryDay planned(fern);
  planned.add("A", 10, "2027-06-09");
  planned.add("B", 10, "2027-06-11");  // two days behind
  CHECK(
      told(planned.plan()) ==
      "2027-06-01 tent/all/set/2027-06-01 for A/callus: air 22 degC; humidity 90 %; mist 8 s every "
      "20 min, 08:00 to 18:00\n"
      "2027-06-02 tent/all/set/2027-06-02 for A/callus: air by night 18 degC\n"
      // A would have a pulse an hour from now on; B has just been set and keeps the mist on.
      "2027-06-03 tent/all/set/2027-06-03 for B/callus, A/callus: air by night 22 degC\n"
      "2027-06-04 tent/all/set/2027-06-04 for B/callus, A/callus: air by night 18 degC\n"
      "2027-06-05 tent/all/set/2027-06-05 for B/callus, A/firming: air by night 22 degC; mist 8 s "
      "every 60 min, 08:00 to 18:00\n"
      "2027-06-06 tent/all/set/2027-06-06 for A/firming, B/callus: humidity 70 %; mist off\n"
      "2027-06-07 yard/all/set/2027-06-07 for A/yard: air 22 degC\n"
      "2027-06-09 tent/all/set/2027-06-09: air not asked for any more; humidity not asked for any "
      "more\n"
      "2027-06-11 yard/all/set/2027-06-11: air not asked for any more\n");
  // A batch is told what it gets, whoever asked for it.
  const auto given =
      planned.plan().settings.given({0, StageId(0)}, *calendar::parse_iso_date("2027-06-04"));
  REQUIRE(given.size() == 4);
  CHECK(describe(given[3]) == "mist 8 s every 20 min, 08:00 to 18:00");
}

TEST_CASE("each zone of a room has orders of its own, by its name") {
  EveryDay planned(fern);
  planned.add("A", 10, "2027-06-09");
  planned.add("B", 10, "2027-06-11");
  planned.site().rooms["tent"].zones = 2;
  planned.site().rooms["tent"].zone_names = {"left", "right"};
  const std::string all = told(planned.plan());
  CAPTURE(all);
  CHECK(says(all, "2027-06-03 tent/left/set/2027-06-03 for A/callus: air by night 22 degC; mist"));
  CHECK(says(all, "2027-06-03 tent/right/set/2027-06-03 for B/callus: air 22 degC; humidity 90 %"));
  CHECK(says(all, "2027-06-04 tent/left/set/2027-06-04 for A/callus: humidity not asked for"));
  planned.site().rooms["tent"].zone_names.clear();
  CHECK(says(told(planned.plan()), "tent/2/set/2027-06-03 for B/callus"));
}

TEST_CASE("what is needed on a day on which nobody is there is set before, what ends ends after") {
  Planned planned(fern);  // Monday to Friday; Saturday is 5 June
  planned.add("A", 10, "2027-06-09");
  const std::string all = told(planned.plan());
  CAPTURE(all);
  CHECK(says(all, "2027-06-04 tent/all/set/2027-06-05 for A/firming: humidity 70 %\n"));
  for (const SettingOrder& order : setting_orders(planned.plan())) {
    CHECK(planned.site().working.works(order.date));
  }
  // Somebody on duty can do it on the day.
  book::Crew carers;
  carers.duty = book::Duty{book::WeekHours(3600), "", {}};
  planned.site().crews["carers"] = carers;
  CHECK(says(told(planned.plan()),
             "2027-06-05 tent/all/set/2027-06-05 for A/firming: humidity 70 %"));
}

TEST_CASE("what a timer changes needs nobody") {
  Planned planned(R"(protocol p { part plant
    stage wet of plant { lasts 7 days  room tent
      mist 8 s every 20 min until day 4  mist 8 s every 30 min from day 5 } })");
  planned.add("A", 10, "2027-06-08");  // day 5 is Saturday 5 June
  CHECK(says(told(planned.plan()),
             "2027-06-07 tent/all/set/2027-06-07 for A/wet: mist 8 s every 30"));
  planned.site().rooms["tent"].by_timer.settings = {"mist"};
  CHECK(says(told(planned.plan()),
             "2027-06-05 tent/all/set/2027-06-05 for A/wet: mist 8 s every 30 "
             "min, day and night, by timer\n"));
}

TEST_CASE("a cover has an air of its own") {
  EveryDay planned(R"(protocol p { part plant
    stage heal of plant { lasts 3 days  room house  under cover
      keep air 24 degC  keep humidity 95 % until day 2  keep humidity 85 % from day 3 }
    stage open of plant { lasts 3 days  room house  keep air 23 degC  keep humidity 60 % } })");
  planned.add("A", 10, "2027-06-07");
  planned.add("B", 10, "2027-06-10");  // covered while A stands open
  const std::string all = told(planned.plan());
  CAPTURE(all);
  CHECK(says(all, "2027-06-01 A/heal/set/2027-06-01/cover for A/heal: humidity 95 %\n"));
  CHECK(says(all, "2027-06-01 house/all/set/2027-06-01 for A/heal: air 24 degC\n"));
  CHECK(says(all, "2027-06-03 A/heal/set/2027-06-03/cover for A/heal: humidity 85 %\n"));
  CHECK(says(all, "2027-06-04 B/heal/set/2027-06-04/cover for B/heal: humidity 95 %\n"));
  CHECK(says(all,
             "2027-06-04 house/all/set/2027-06-04 for A/open, B/heal: air 23 degC; humidity 60 %"));
  CHECK(planned.plan().conflicts.empty());
  const auto given =
      planned.plan().settings.given({1, StageId(0)}, *calendar::parse_iso_date("2027-06-04"));
  REQUIRE(given.size() == 2);
  CHECK(describe(given[0]) == "air 23 degC");
  CHECK(describe(given[1]) == "humidity 95 %");
}

TEST_CASE("a range leaves room for those who ask for a value in it") {
  EveryDay planned(R"(protocol p { part plant
    stage a of plant { lasts 2 days  room tent  keep air 18 to 24 degC  keep humidity 90 % }
    stage b of plant { lasts 2 days  room tent  keep air at least 20 degC  keep humidity 88 % }
    stage c of plant { lasts 2 days  room tent  keep air 21 degC  keep humidity 86 % } })");
  planned.add("A", 10, "2027-06-07");
  planned.add("B", 10, "2027-06-09");
  planned.add("C", 10, "2027-06-11");
  const std::string all = told(planned.plan());
  CAPTURE(all);
  CHECK(says(all, "2027-06-03 tent/all/set/2027-06-03 for B/a, A/b: air 20 to 24 degC\n"));
  CHECK(says(all, "2027-06-05 tent/all/set/2027-06-05 for C/a, B/b, A/c: air 21 degC\n"));
}

TEST_CASE("what mist comes to in a day") {
  EveryDay planned(R"(protocol p { part plant
    stage wet of plant { lasts 3 days  room tent  mist 20 s every 45 min }
    stage dry of plant { lasts 3 days  room tent  mist 20 s every 45 min from 10:00 to 14:00
      mist 5 s every 60 min from 18:00 to 20:00 on day 2 } })");
  planned.add("A", 10, "2027-06-11");
  planned.site().rooms["tent"].mist_flow = book::Placed<double>{0.9e-3 / 60, {}};
  const Plan& plan = planned.plan();
  const auto orders = setting_orders(plan);
  REQUIRE(orders.size() == 5);
  // 24 h hold 32 stretches of 45 min; 32 x 20 s = 640 s; 640 / 60 x 0.9 L = 9.6 L.
  const auto wet = describe(plan, orders[0]).mist;
  REQUIRE(wet.has_value());
  CHECK(wet->pulses == 32);
  CHECK(wet->seconds == doctest::Approx(640));
  CHECK(wet->volume.value() == doctest::Approx(9.6e-3));
  // 10:00, 10:45, ..., 13:45 are six pulses; with those of 18:00 and 19:00 eight.
  CHECK(describe(plan, orders[1]).mist->pulses == 6);
  const SettingDetail both = describe(plan, orders[2]);
  CHECK(both.changes.size() == 2);  // the whole of the mist is told
  CHECK(both.mist->pulses == 8);
  CHECK(both.mist->seconds == doctest::Approx(6 * 20 + 2 * 5));
  CHECK_FALSE(describe(plan, orders[4]).mist.has_value());  // it is off
}

TEST_CASE("without the flow of a room its water is not known") {
  EveryDay planned(fern);
  planned.add("A", 10, "2027-06-09");
  const Plan& plan = planned.plan();
  const auto orders = setting_orders(plan);
  CHECK(describe(plan, orders[0]).mist->pulses == 30);
  CHECK_FALSE(describe(plan, orders[0]).mist->volume.has_value());
  CHECK_FALSE(describe(plan, orders[1]).mist.has_value());  // the mist goes on as it was
}

TEST_CASE("cultivars that are raised together are set once, batches without dates not at all") {
  Planned planned(fern);
  planned.add("A-c1", 10, "2027-06-09").cultivar = "Plumosa";
  book::Batch& second = planned.add("A-c2", 10, "2027-06-09");
  second.cultivar = "Crispa";
  second.lead = false;
  planned.add("B", 10, "2027-06-09")
      .pins.push_back(
          {"yard", book::Pin::Side::start, *calendar::parse_iso_date("2027-06-20"), {}});
  const Plan& plan = planned.plan();
  REQUIRE(plan.batches.size() == 3);
  CHECK_FALSE(plan.batches[2].dated);
  const std::string all = told(plan);
  CHECK_FALSE(says(all, "A-c2"));
  CHECK_FALSE(says(all, "B/"));
  const calendar::Day day = *calendar::parse_iso_date("2027-06-02");
  CHECK(same(plan.settings.given({0, StageId(0)}, day), plan.settings.given({1, StageId(0)}, day)));
  CHECK_FALSE(plan.settings.given({1, StageId(0)}, day).empty());
}

TEST_CASE("stages without a room have no place in which a setting could go on") {
  EveryDay planned(R"(protocol loose { part plant
    stage a of plant { lasts 2 days  keep air 20 degC }
    stage b of plant { lasts 2 days  keep air 20 degC } })");
  planned.add("A", 10, "2027-06-04");
  CHECK(told(planned.plan()) ==
        "2027-05-31 A/a/set/2027-05-31 for A/a: air 20 degC\n"
        "2027-06-02 A/b/set/2027-06-02 for A/b: air 20 degC\n");
}

TEST_CASE("while plants wait for the next stage their climate goes on, and ends when they leave") {
  Planned planned(R"(protocol waiting { part plant
    stage damp of plant { lasts 3 days  may wait 4 days  room fog  keep humidity 90 % }
    stage pot of plant { lasts 1 day  room bench  do "Pot" on day 1 { crew c } } })");
  // Wednesday to Friday; potted on Monday.
  planned.add("A", 10, "2027-06-08")
      .pins.push_back(
          {"damp", book::Pin::Side::start, *calendar::parse_iso_date("2027-06-02"), {}});
  CHECK(waiting_days({planned.plan().sheets.front(), 0}, StageId(0)) == 2);
  CHECK(waiting_days({planned.plan().sheets.front(), 0}, StageId(1)) == 0);
  CHECK(told(planned.plan()) ==
        "2027-06-02 fog/all/set/2027-06-02 for A/damp: humidity 90 %\n"
        "2027-06-07 fog/all/set/2027-06-07: humidity not asked for any more\n");
}

TEST_CASE("a programme is told so finely that its pulses come to the total") {
  EveryDay planned(R"(protocol p { part plant
    stage wet of plant { lasts 2 days  room tent  mist 7.5 s every 1527 s } })");
  planned.add("A", 10, "2027-06-11");
  const Plan& plan = planned.plan();
  CHECK(says(told(plan), "mist 7.5 s every 25 min 27 s, day and night"));
  // 86400 / 1527 = 56.6; of 25 min it would be 58 pulses.
  const auto mist = describe(plan, setting_orders(plan).front()).mist;
  CHECK(mist->pulses == 57);
  CHECK(mist->seconds == doctest::Approx(57 * 7.5));
}

TEST_CASE("what plants ask for no more goes back to what their room is set to without them") {
  EveryDay planned(fern);
  planned.add("A", 10, "2027-06-09");
  book::Room tent;
  tent.stands[language::Measure::air] = {273.15 + 12, {}};
  planned.site().rooms["tent"] = tent;
  const std::string all = told(planned.plan());
  CAPTURE(all);
  CHECK(says(all, "tent/all/set/2027-06-07: air back to 12 degC; humidity not asked for any more"));
  CHECK(says(all, "yard/all/set/2027-06-09: air not asked for any more"));
}

TEST_CASE("what a batch asks for changes with its stages, wherever they stand") {
  EveryDay planned(fern);
  planned.add("A", 10, "2027-06-09");
  planned.add("B", 10, "2027-06-11");
  const Plan& plan = planned.plan();
  std::vector<std::string> ids;
  for (const SettingChange& one : setting_changes(plan, {1})) ids.push_back(change_id(plan, one));
  CHECK(ids == std::vector<std::string>{"B/callus/set/1", "B/callus/set/2", "B/callus/set/3",
                                        "B/firming/set/1", "B/yard/set/1"});
}
