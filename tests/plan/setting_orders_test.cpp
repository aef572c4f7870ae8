#include "plan/orders/setting_orders.hpp"
#include "book/batches/batch.hpp"
#include "plan/orders/settings.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// "2027-06-01 A/rooting/set/1 tent: air 20 degC; humidity 95 %" a line.
std::string told(const Plan& plan, const std::vector<std::size_t>& batches) {
  std::string out;
  for (const SettingOrder& order : setting_orders(plan, batches)) {
    const SettingDetail detail = describe(plan, order);
    out += calendar::iso_date(detail.date) + " " + detail.id + " " + detail.room + ":";
    std::string before = " ";
    for (const DaySetting& change : detail.changes) {
      out += before + describe(change);
      before = "; ";
    }
    out += "\n";
  }
  return out;
}

const char* const fern = R"(protocol fern "Fern offsets" { part plant
  stage callus of plant { lasts 4 days  room tent
    keep air 22 degC  keep air 18 degC by night on day 2  keep humidity 90 % until day 3
    mist 8 s every 20 min from 08:00 to 18:00 until day 2
    mist 8 s every 60 min from 08:00 to 18:00 on day 3 }
  stage firming of plant { lasts 2 days  room tent
    keep air 22 degC  keep humidity 70 % }
  stage yard of plant { lasts 2 days  room yard  keep air 22 degC } })";

}  // namespace

TEST_CASE("each day on which something is set, changes or ends") {
  Planned planned(fern);
  planned.add("A", 10, "2027-06-09");
  CHECK(told(planned.plan(), {0}) ==
        "2027-06-01 A/callus/set/1 tent: air 22 degC; humidity 90 %; mist 8 s every 20 min, 08:00 "
        "to 18:00\n"
        "2027-06-02 A/callus/set/2 tent: air by night 18 degC\n"
        "2027-06-03 A/callus/set/3 tent: air by night 22 degC; mist 8 s every 60 min, 08:00 to "
        "18:00\n"
        "2027-06-04 A/callus/set/4 tent: humidity not asked for any more; mist off\n"
        // In the same room the air goes on as it is; in another all is set.
        "2027-06-05 A/firming/set/1 tent: humidity 70 %\n"
        // What nobody else asks for ends in the room that they leave.
        "2027-06-07 A/firming/set/end tent: air not asked for any more; humidity not asked for any "
        "more\n"
        "2027-06-07 A/yard/set/1 yard: air 22 degC\n"
        "2027-06-09 A/yard/set/end yard: air not asked for any more\n");
}

TEST_CASE("a taper is set every day, and only for the batches asked for") {
  Planned planned(layering);
  planned.add("A", 100, "2027-06-11");
  planned.add("B", 100, "2027-07-16");
  const Plan& plan = planned.plan();
  // 95 % on days 1 to 4, then a little less on each of the ten days up to day 14; free after it.
  CHECK(setting_orders(plan, {0}).size() == 12);
  for (const SettingOrder& order : setting_orders(plan, {1})) CHECK(order.batch == 1);
  const std::vector<SettingOrder> both = setting_orders(plan, {0, 1});
  CHECK(both.size() == 24);
  for (std::size_t i = 1; i < both.size(); ++i) CHECK(both[i - 1].date <= both[i].date);
  CHECK(describe(plan, both[1]).id == "A/rooting/set/5");
}

TEST_CASE("ids stay when the plan moves") {
  Planned early(layering);
  early.add("A", 100, "2027-06-11");
  Planned late(layering);
  late.add("A", 100, "2027-07-09");
  const auto ids = [](const Plan& plan) {
    std::vector<std::string> out;
    for (const SettingOrder& order : setting_orders(plan, {0})) {
      out.push_back(describe(plan, order).id);
    }
    return out;
  };
  CHECK(ids(early.plan()) == ids(late.plan()));
}

TEST_CASE("what mist comes to in a day") {
  Planned planned(R"(protocol p { part plant
    stage wet of plant { lasts 3 days  room tent  mist 20 s every 45 min }
    stage dry of plant { lasts 3 days  room tent  mist 20 s every 45 min from 10:00 to 14:00
      mist 5 s every 60 min from 18:00 to 20:00 on day 2 } })");
  planned.add("A", 10, "2027-06-11");
  planned.site().rooms["tent"].mist_flow = book::Placed<double>{0.9e-3 / 60, {}};
  const Plan& plan = planned.plan();
  const BatchPlan& batch = plan.batches.front();
  // 24 h hold 32 stretches of 45 min; 32 x 20 s = 640 s; 640 / 60 x 0.9 L = 9.6 L.
  const auto wet = mist_total(plan, batch, StageId(0), 0);
  REQUIRE(wet.has_value());
  CHECK(wet->pulses == 32);
  CHECK(wet->seconds == doctest::Approx(640));
  CHECK(wet->volume.value() == doctest::Approx(9.6e-3));
  // 10:00, 10:45, ..., 13:45 are six pulses; with those of 18:00 and 19:00 eight.
  CHECK(mist_total(plan, batch, StageId(1), 0)->pulses == 6);
  CHECK(mist_total(plan, batch, StageId(1), 1)->pulses == 8);
  CHECK(mist_total(plan, batch, StageId(1), 1)->seconds == doctest::Approx(6 * 20 + 2 * 5));
  const auto orders = setting_orders(plan, {0});
  REQUIRE(orders.size() == 5);
  const SettingDetail end = describe(plan, orders[4]);
  CHECK(end.id == "A/dry/set/end");
  CHECK_FALSE(end.mist.has_value());
  const SettingDetail both = describe(plan, orders[2]);
  CHECK(both.id == "A/dry/set/2");
  CHECK(both.changes.size() == 2);  // the whole of the mist is told
  CHECK(both.mist->pulses == 8);
}

TEST_CASE("without the flow of a room its water is not known, and without mist there is none") {
  Planned planned(fern);
  planned.add("A", 10, "2027-06-09");
  const Plan& plan = planned.plan();
  const auto orders = setting_orders(plan, {0});
  CHECK(describe(plan, orders[0]).mist->pulses == 30);
  CHECK_FALSE(describe(plan, orders[0]).mist->volume.has_value());
  CHECK_FALSE(describe(plan, orders[1]).mist.has_value());  // the mist goes on as it was
  CHECK_FALSE(describe(plan, orders[3]).mist.has_value());  // it is off
  CHECK_FALSE(mist_total(plan, plan.batches[0], StageId(0), 3).has_value());
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
  CHECK(setting_orders(plan, {0, 1, 2}).size() == setting_orders(plan, {0}).size());
}

TEST_CASE("nothing ends in a room that other plants there still ask for") {
  // Batch B is in callus on 3 to 6 June, two days behind A: it keeps mist up to the 5th, humidity
  // and air all along.
  Planned planned(fern);
  planned.add("A", 10, "2027-06-09");
  planned.add("B", 10, "2027-06-11");
  const std::string text = told(planned.plan(), {0});
  CHECK(text.find("A/callus/set/4") == std::string::npos);
  CHECK(text.find("A/firming/set/end") == std::string::npos);
  CHECK(text.find("A/yard/set/end") == std::string::npos);
  // The last to leave ends it, whichever batches are shown.
  CHECK(told(planned.plan(), {1})
            .find("2027-06-09 B/firming/set/end tent: air not asked for any more; "
                  "humidity not asked for any more\n") != std::string::npos);
}

TEST_CASE("stages without a room have no place in which a setting could go on") {
  Planned planned(R"(protocol loose { part plant
    stage a of plant { lasts 2 days  keep air 20 degC }
    stage b of plant { lasts 2 days  keep air 20 degC } })");
  planned.add("A", 10, "2027-06-04");
  const std::string orders = told(planned.plan(), {0});
  CHECK(orders.find("A/a/set/1 : air 20 degC\n") != std::string::npos);
  CHECK(orders.find("A/b/set/1 : air 20 degC\n") != std::string::npos);
}

TEST_CASE("another part of the same batch keeps what one part no longer asks for") {
  Planned planned(R"(protocol pair { part scion  part stock  part plant
    stage a of scion { lasts 4 days  room fog  keep air 25 degC by day  keep air 19 degC by night
      mist 10 s every 30 min }
    stage b of scion { lasts 2 days  room fog }
    stage c of stock { lasts 6 days  room fog  keep air 19 degC by night }
    stage d joins scion with stock into plant { lasts 2 days  room bench } })");
  planned.add("A", 10, "2027-06-09");
  CHECK(told(planned.plan(), {0}) ==
        "2027-06-01 A/a/set/1 fog: air by day 25 degC; air by night 19 degC; mist 10 s every 30 "
        "min, day and night\n"
        "2027-06-01 A/c/set/1 fog: air by night 19 degC\n"
        "2027-06-05 A/b/set/1 fog: air by day not asked for any more; mist off\n"
        "2027-06-07 A/c/set/end fog: air by night not asked for any more\n");
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
  CHECK(told(planned.plan(), {0}) ==
        "2027-06-02 A/damp/set/1 fog: humidity 90 %\n"
        "2027-06-07 A/damp/set/end fog: humidity not asked for any more\n");
}

TEST_CASE("what ends in one zone of a room is told, whatever stands in the others") {
  Planned planned(fern);
  planned.add("A", 10, "2027-06-09");
  planned.add("B", 10, "2027-06-11");
  planned.site().rooms["tent"].zones = 2;
  CHECK(told(planned.plan(), {0})
            .find("A/callus/set/4 tent: humidity not asked for any more; mist off") !=
        std::string::npos);
}

TEST_CASE("a programme is told so finely that its pulses come to the total") {
  Planned planned(R"(protocol p { part plant
    stage wet of plant { lasts 2 days  room tent  mist 7.5 s every 1527 s } })");
  planned.add("A", 10, "2027-06-11");
  const Plan& plan = planned.plan();
  CHECK(told(plan, {0}).find("mist 7.5 s every 25 min 27 s, day and night") != std::string::npos);
  // 86400 / 1527 = 56.6; of 25 min it would be 58 pulses.
  CHECK(mist_total(plan, plan.batches[0], StageId(0), 0)->pulses == 57);
  CHECK(mist_total(plan, plan.batches[0], StageId(0), 0)->seconds == doctest::Approx(57 * 7.5));
}

TEST_CASE("what plants ask for no more goes back to what their room is set to without them") {
  Planned planned(fern);
  planned.add("A", 10, "2027-06-09");
  book::Room tent;
  tent.keeps[language::Measure::air] = {273.15 + 12, {}};
  planned.site().rooms["tent"] = tent;
  const std::string all = told(planned.plan(), {0});
  CAPTURE(all);
  CHECK(all.find("A/firming/set/end tent: air back to 12 degC; humidity not asked for any more") !=
        std::string::npos);
  CHECK(all.find("yard: air not asked for any more") != std::string::npos);
}
