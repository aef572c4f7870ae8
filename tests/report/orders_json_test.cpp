#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/report.hpp"
#include "sample_plan.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::protocol_with_title;
using budwood::report::test::SamplePlan;
using nlohmann::json;

namespace {

std::vector<std::string> keys(const nlohmann::ordered_json& object) {
  std::vector<std::string> out;
  for (const auto& [key, value] : object.items()) out.push_back(key);
  return out;
}

}  // namespace

TEST_CASE("the whole plan as one object") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  const std::string text = sample.orders(Format::json);
  const auto plan = nlohmann::ordered_json::parse(text);
  CHECK(keys(plan) ==
        std::vector<std::string>{"site", "batches", "setting_orders", "notes", "conflicts"});
  CHECK(plan["site"] == "Mill Bank");
  REQUIRE(plan["batches"].size() == 1);
  const auto& batch = plan["batches"][0];
  CHECK(keys(batch) == std::vector<std::string>{
                           "batch", "protocol", "edition", "title", "crop", "plants", "ready",
                           "sure", "spare", "full_trays", "starts", "expected", "low", "high",
                           "chance", "chance_is_a_bound", "person_hours", "stages", "work_orders"});
  // 125 leaves of which 80 % root: 100 on average.
  CHECK(batch["sure"].is_null());
  CHECK(batch["starts"][0]["stage"] == "rooting");
  CHECK(batch["starts"][0]["plants"] == 125);
  CHECK(batch["expected"] == 100);
  CHECK(batch["low"] < 100);
  CHECK(batch["high"] > 100);
  CHECK(batch["chance"] > 0.5);
  CHECK(batch["batch"] == "A1");
  CHECK(batch["protocol"] == "leaf_cuttings");
  CHECK(batch["edition"] == 3);
  CHECK(batch["plants"] == 100);
  CHECK(batch["ready"] == "2027-04-16");
}

TEST_CASE("stages") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  const auto plan = nlohmann::ordered_json::parse(sample.orders(Format::json));
  const auto& stages = plan["batches"][0]["stages"];
  REQUIRE(stages.size() == 2);
  const auto& rooting = stages[0];
  CHECK(keys(rooting) == std::vector<std::string>{"stage", "title", "part", "joins", "room",
                                                  "start", "end", "earliest", "latest", "float",
                                                  "plants", "left", "settings"});
  CHECK(rooting["stage"] == "rooting");
  CHECK(rooting["title"] == "Rooting");
  CHECK(rooting["part"] == "cutting");
  CHECK(rooting["room"] == "propagator");
  // Potting takes Thursday 15 April; 21 days before that is 25 March.
  CHECK(rooting["start"] == "2027-03-25");
  CHECK(rooting["end"] == "2027-04-15");
  CHECK(rooting["earliest"] == "2027-04-14");
  CHECK(rooting["plants"] == 125);  // 100 / 0.8
  CHECK(rooting["left"] == 100);
  const auto& first = rooting["settings"][0];
  CHECK(keys(first) == std::vector<std::string>{"setting", "half", "value", "from", "to"});
  CHECK(first["setting"] == "air");
  CHECK(first["half"] == "day");
  CHECK(first["value"] == "20 degC");
  CHECK(first["from"] == "2027-03-25");
  CHECK(first["to"] == "2027-04-14");
}

TEST_CASE("work orders") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16").lots["leaf"].value = "house 3";
  const auto plan = nlohmann::ordered_json::parse(sample.orders(Format::json));
  const auto& orders = plan["batches"][0]["work_orders"];
  REQUIRE(orders.size() == 5);
  const auto& laying = orders[0];
  CHECK(keys(laying) == std::vector<std::string>{
                            "id",     "stage", "date",        "weekday", "week",         "due",
                            "state",  "title", "time_of_day", "plants",  "person_hours", "people",
                            "crew",   "room",  "supplies",    "tools",   "settings",     "cautions",
                            "record", "notes", "line"});
  CHECK(laying["id"] == "A1/rooting/1/1");
  CHECK(laying["date"] == "2027-03-25");
  CHECK(laying["weekday"] == "Thursday");
  CHECK(laying["week"] == "2027-W12");
  CHECK(laying["plants"] == 125);
  CHECK(laying["person_hours"].get<double>() == doctest::Approx(125.0 / 60));
  CHECK(laying["people"] == 2);
  CHECK(laying["crew"] == "propagation");
  CHECK(laying["tools"] == json::array({"Knife"}));
  CHECK(laying["record"] == json::array({"laid (leaves)"}));
  CHECK(laying["notes"] == json::array({"Veins downwards."}));
  CHECK(laying["line"] == "leaf_cuttings.bud:15");
  REQUIRE(laying["supplies"].size() == 3);
  CHECK(laying["supplies"][0]["supply"] == "leaf");
  CHECK(laying["supplies"][0]["lot"] == "house 3");
  CHECK(laying["supplies"][1]["amount"] == 4.4);  // 125 x 35 mL
  CHECK(laying["supplies"][1]["unit"] == "L");
  CHECK(laying["supplies"][2]["amount"] == 4);  // 125 / 40, rounded up
  CHECK(laying["supplies"][2]["reused"] == true);
  CHECK(orders[1]["people"] == nullptr);
  CHECK(orders[4]["id"] == "A1/potting/1/1");
}

TEST_CASE("setting orders") {
  SamplePlan sample(
      "protocol p \"P\" { part a stage s of a { lasts 3 days  room fog  keep air 20 degC by day "
      "mist 20 s every 45 min until day 1 } stage t of a { lasts 1 day } }");
  sample.add_batch("A1", 10, "2027-04-16");
  sample.book().site.rooms["fog"].mist_flow = book::Placed<double>{0.9e-3 / 60, {}};
  const std::string text = sample.orders(Format::json);
  const auto ordered = nlohmann::ordered_json::parse(text);
  CHECK(keys(ordered["setting_orders"][0]) ==
        std::vector<std::string>{"id", "date", "since", "by_timer", "room", "zone", "cover", "for",
                                 "settings", "mist", "lamps", "water", "line"});
  const json orders = json::parse(text)["setting_orders"];
  REQUIRE(orders.size() == 3);
  CHECK(orders[0]["id"] == "fog/all/set/2027-04-12");
  CHECK(orders[0]["for"] == json::array({"A1/s"}));
  CHECK(orders[0]["date"] == "2027-04-12");
  CHECK(orders[0]["room"] == "fog");
  CHECK(orders[0]["settings"][0] ==
        json{{"setting", "air"}, {"half", "day"}, {"value", "20 degC"}});
  CHECK(orders[0]["mist"] == json{{"pulses", 32}, {"seconds", 640}, {"litres", 9.6}});
  CHECK(orders[1]["id"] == "fog/all/set/2027-04-13");
  CHECK(orders[1]["settings"] ==
        json::array({{{"setting", "mist"}, {"half", "both"}, {"value", "off"}}}));
  CHECK(orders[1]["mist"].is_null());
  // The plants leave the room, and nothing else keeps its air.
  CHECK(orders[2]["id"] == "fog/all/set/2027-04-15");
  CHECK(orders[2]["date"] == "2027-04-15");
  CHECK(orders[2]["room"] == "fog");
  CHECK(orders[2]["settings"] ==
        json::array({{{"setting", "air"}, {"half", "day"}, {"value", "not asked for any more"}}}));
}

TEST_CASE("numbers have no noise in them") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  const std::string text = sample.orders(Format::json);
  CHECK(text.find("\"person_hours\": 2.08333333333,") != std::string::npos);
  CHECK(text.find("\"amount\": 4.4,") != std::string::npos);
  CHECK(text.find("\"plants\": 125,") != std::string::npos);
}

TEST_CASE("the filter narrows batches and orders") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  sample.add_batch("A2", 100, "2027-05-16");  // a Sunday, which makes a note
  Filter filter;
  filter.batch = "A1";
  filter.crew = "potting";
  const json plan = json::parse(sample.orders(Format::json, filter));
  REQUIRE(plan["batches"].size() == 1);
  CHECK(plan["batches"][0]["stages"].size() == 2);
  CHECK(plan["batches"][0]["work_orders"].size() == 1);
  CHECK(plan["setting_orders"].empty());  // they are for no crew
  for (const json& note : plan["notes"]) CHECK(note["batch"] == "A1");
  const json whole = json::parse(sample.orders(Format::json));
  CHECK(whole["batches"].size() == 2);
  CHECK(!whole["setting_orders"].empty());
  filter.crew.reset();
  filter.from = calendar::parse_iso_date("2027-03-26");
  filter.to = calendar::parse_iso_date("2027-04-02");
  filter.room = "propagator";
  const auto days = [&] {
    return json::parse(sample.orders(Format::json, filter))["setting_orders"].size();
  };
  CHECK(days() == 2);  // from 90 % down, as far as the dial has it
  filter.room = "bench";
  CHECK(days() == 0);
  CHECK(!whole["notes"].empty());
}

TEST_CASE("a batch whose dates contradict each other") {
  SamplePlan sample;
  book::Batch& batch = sample.add_batch("A1", 100, "2027-04-16");
  batch.pins.push_back(
      {"rooting", book::Pin::Side::start, *calendar::parse_iso_date("2027-04-14"), {}});
  sample.add_batch("A2", 100, "2027-04-16");
  const json plan = json::parse(sample.orders(Format::json));
  REQUIRE(plan["conflicts"].size() == 1);
  const json& conflict = plan["conflicts"][0];
  CHECK(conflict["batch"] == "A1");
  CHECK(!conflict["message"].get<std::string>().empty());
  CHECK(!conflict["facts"].empty());
  CHECK(plan["batches"][0]["stages"][0]["start"] == nullptr);
  CHECK(plan["batches"][0]["work_orders"].empty());
  CHECK(!plan["batches"][1]["work_orders"].empty());
}

TEST_CASE("a book without batches") {
  SamplePlan sample;
  const json plan = json::parse(sample.orders(Format::json));
  CHECK(plan["batches"].empty());
  CHECK(plan["conflicts"].empty());
}

TEST_CASE("hostile titles come back as they were") {
  const std::vector<std::string> titles = {std::string(10'000, 'x'),
                                           "esc \x1b[2J bell \x07",
                                           "8-bit \xC2\x9B"
                                           "1m",
                                           "del \x7F",
                                           "\u202Eright to left\u202C",
                                           "שתילים",
                                           "\U0001F331\u200D\U0001F33F",
                                           "back\u005C\u005Cslash",
                                           "tab\there"};
  for (const std::string& title : titles) {
    SamplePlan sample(protocol_with_title(title));
    sample.add_batch("A1", 10, "2027-04-16");
    if (sample.plan().orders.empty()) continue;  // the language may refuse the title
    const std::string text = sample.orders(Format::json);
    const json plan = json::parse(text);
    CHECK(plan["batches"][0]["work_orders"][0]["title"] ==
          plan::describe(sample.plan(), sample.plan().orders[0]).title);
    for (const char c : text) {
      const auto byte = static_cast<unsigned char>(c);
      REQUIRE((byte == '\n' || (byte >= 0x20 && byte != 0x7F)));
    }
    CHECK(text.find("\xC2\x9B") == std::string::npos);
  }
}

TEST_CASE("a file name that is no UTF-8 does not spoil the object") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  book::Book book;
  book.site.name.value = "Mill \xFF Bank";
  const plan::Plan plan = plan::make_plan(book, diagnostics);
  std::ostringstream out;
  write_orders(out, plan, {}, Format::json);
  CHECK(json::parse(out.str())["site"] == "Mill \uFFFD Bank");
}

TEST_CASE("the same plan gives the same bytes") {
  SamplePlan first;
  first.add_batch("A1", 100, "2027-04-16");
  SamplePlan second;
  second.add_batch("A1", 100, "2027-04-16");
  for (const Format format : {Format::table, Format::csv, Format::json}) {
    CHECK(first.orders(format) == second.orders(format));
    CHECK(first.needs(format) == second.needs(format));
  }
}
