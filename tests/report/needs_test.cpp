#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "report/formats/format.hpp"
#include "report/needs/needs_words.hpp"
#include "report/report.hpp"
#include "sample_plan.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::amount;
using budwood::report::test::lines_of;
using budwood::report::test::SamplePlan;
using nlohmann::json;

namespace {

/// 125 leaves on Thursday, 25 March, in 4 trays; 100 plants ready on 16 April.
void add_batch(SamplePlan& sample) {
  sample.add_batch("A1", 100, "2027-04-16");
}

/// The same at a site that says something of everything but the leaves.
void price(SamplePlan& sample) {
  book::Site& site = sample.book().site;
  site.currency = book::Placed<std::string>{"EUR", {}};
  book::SupplyFacts& mix = site.supplies["mix"];
  mix.price = amount("7.50 EUR/pack");
  mix.lead_time = book::Placed<double>{10 * 86400.0, {}};
  mix.scrap = book::Placed<double>{0.125, {}};
  site.supplies["tray"].on_hand = amount("3");
  site.supplies["tray"].price = amount("0.9");
  site.crews["propagation"] = {1, 3600, book::Placed<double>{20, {}}, {}};
  site.crews["potting"] = {1, 2 * 3600, book::Placed<double>{18, {}}, {}};
}

NeedsView by(plan::Grouping grouping) {
  NeedsView view;
  view.by = grouping;
  return view;
}

}  // namespace

TEST_CASE("needs as a table, at a site that says nothing of supplies") {
  SamplePlan sample;
  add_batch(sample);
  CHECK(sample.needs(Format::table) ==
        "Needs of Mill Bank, all batches\n"
        "\n"
        "  Supply              Needed  On hand\n"
        "  Leaf            125 leaves\n"
        "  Fine mix             4.4 L\n"
        "  Tray, 40 cells     4 trays           comes back; most out on Thu 2027-03-25: A1\n"
        "\n"
        "  Order by      To buy                          Cost  Missing first\n"
        "  no lead time  Leaf                125 leaves     -  Thu 2027-03-25, A1\n"
        "  no lead time  Fine mix        1 pack of 20 L     -  Thu 2027-03-25, A1\n"
        "  no lead time  Tray, 40 cells         4 trays     -  Thu 2027-03-25, A1\n"
        "  None of these has a price.\n"
        "\n"
        "  Crew            Work\n"
        "  anyone        36 min\n"
        "  potting        1.0 h\n"
        "  propagation    2.1 h\n"
        "  all together   3.7 h\n");
}

TEST_CASE("what is to be bought, by when, for how much, and what is short of time") {
  SamplePlan sample;
  add_batch(sample);
  price(sample);
  // 4.375 L over 0.875 are 5 L. Ten days before Thursday is Monday, 15 March.
  CHECK(sample.needs(Format::table, {}, calendar::parse_iso_date("2027-03-16")) ==
        "Needs of Mill Bank, all batches\n"
        "\n"
        "  Supply              Needed  On hand\n"
        "  Leaf            125 leaves\n"
        "  Fine mix             5.1 L           with 0.7 L spoilt\n"
        "  Tray, 40 cells     4 trays  3 trays  comes back; most out on Thu 2027-03-25: A1\n"
        "\n"
        "  Order by              To buy                              Cost EUR  Missing first\n"
        "  Mon 2027-03-15, late  Fine mix            1 pack of 20 L      7.50  Thu 2027-03-25, A1\n"
        "  no lead time          Leaf                    125 leaves         -  Thu 2027-03-25, A1\n"
        "  no lead time          Tray, 40 cells              1 tray      0.90  Thu 2027-03-25, A1\n"
        "                        all that is priced                      8.40\n"
        "  Without a price, so not in the sum: Leaf.\n"
        "\n"
        "  Crew            Work\n"
        "  anyone        36 min\n"
        "  potting        1.0 h\n"
        "  propagation    2.1 h\n"
        "  all together   3.7 h\n"
        "\n"
        "  Too little time  Crew         Wanted  There  Batches\n"
        "  Thu 2027-03-25   propagation   2.1 h  1.0 h  A1\n");
}

TEST_CASE("costs, with a mark where a price is missing") {
  SamplePlan sample;
  add_batch(sample);
  price(sample);
  NeedsView view;
  view.costs = true;
  // Rooting: 5 L at 0.375, 2.0833 h at 20, and 36 minutes and 125 leaves without a price. Potting:
  // an hour at 18.
  const std::string text = sample.needs(Format::table, view);
  CHECK(text.substr(text.find("  Costs")) ==
        "  Costs EUR     Ordered     Supplies  Labour    Total  A plant\n"
        "  A1            100 plants      1.91   59.67  61.58 *   0.62 *\n"
        "  all together                  1.91   59.67  61.58 *\n"
        "  * Not complete, for want of a price: Leaf; work without a crew.\n"
        "  Of what comes back, only what is spoilt is counted.\n");
  view.by = plan::Grouping::batch;
  const std::string stages = sample.needs(Format::table, view);
  CHECK(stages.find("\n                Rooting         1.91   41.67  43.58 *\n") !=
        std::string::npos);
  CHECK(stages.find("\n                potting         0.00   18.00    18.00\n") !=
        std::string::npos);
  CHECK(
      sample.needs(Format::csv, {plan::Grouping::all, true, false}) ==
      "batch,protocol,plants,stage,title,supplies,labour,energy,total,a_plant,currency,complete\r\n"
      "A1,leaf_cuttings,100,rooting,Rooting,1.9125,41.6666666667,0,43.5791666667,0.435791666667,"
      "EUR,"
      "no\r\n"
      "A1,leaf_cuttings,100,potting,potting,0,18,0,18,0.18,EUR,yes\r\n");
}

TEST_CASE("needs by batch, day and week") {
  SamplePlan sample;
  add_batch(sample);
  const std::vector<std::string> days =
      lines_of(sample.needs(Format::table, by(plan::Grouping::day)));
  CHECK(days[0] == "Needs of Mill Bank by day");
  CHECK(days[2] == "  Day             Needed                           Amount");
  CHECK(days[3] == "  Thu 2027-03-25  Leaf                         125 leaves");
  CHECK(days[5] == "                  Tray, 40 cells (comes back)     4 trays");
  CHECK(days[6] == "                  work of propagation               2.1 h");
  CHECK(days[7] == "  Wed 2027-03-31  work of anyone                   12 min");
  CHECK(sample.needs(Format::csv, by(plan::Grouping::week))
            .starts_with("week,monday,kind,name,title,amount,unit\r\n"
                         "2027-W12,2027-03-22,supply,leaf,Leaf,125,leaves\r\n"));
  CHECK(sample.needs(Format::csv, by(plan::Grouping::batch)) ==
        "batch,kind,name,title,amount,unit\r\n"
        "A1,supply,leaf,Leaf,125,leaves\r\n"
        "A1,supply,mix,Fine mix,4.4,L\r\n"
        "A1,supply,tray,\"Tray, 40 cells\",4,trays\r\n"
        "A1,crew,,,0.6,person-hours\r\n"
        "A1,crew,potting,,1,person-hours\r\n"
        "A1,crew,propagation,,2.08333333333,person-hours\r\n");
  const json weeks = json::parse(sample.needs(Format::json, by(plan::Grouping::week)))["by_week"];
  CHECK(weeks[0]["week"] == "2027-W12");
  CHECK(weeks[0]["monday"] == "2027-03-22");
  CHECK(weeks[0]["supplies"][0] == json{{"supply", "leaf"}, {"amount", 125}, {"unit", "leaves"}});
}

TEST_CASE("a day tells what a crew has on it") {
  SamplePlan sample;
  add_batch(sample);
  price(sample);
  const std::string days = sample.needs(Format::csv, by(plan::Grouping::day));
  CHECK(days.starts_with("day,kind,name,title,amount,unit,there\r\n"));
  CHECK(days.find("2027-03-25,crew,propagation,,2.08333333333,person-hours,1\r\n") !=
        std::string::npos);
  CHECK(days.find("2027-03-31,crew,,,0.2,person-hours,\r\n") != std::string::npos);
}

TEST_CASE("the orders behind a supply come with the line that asks for them") {
  SamplePlan sample;
  add_batch(sample);
  price(sample);
  const NeedsView view{plan::Grouping::all, false, true};
  const std::string text = sample.needs(Format::table, view);
  CHECK(text.find("\nFine mix: 5.1 L\n"
                  "  use 35 mL mix each, leaf_cuttings.bud:20\n"
                  "    Order           Day             Amount\n"
                  "    A1/rooting/1/1  Thu 2027-03-25   5.1 L  with 0.7 L spoilt\n"
                  "\nTray, 40 cells: 4 trays out on Thu 2027-03-25\n"
                  "  use 1 tray per 40, leaf_cuttings.bud:21\n"
                  "    Order           Day              Amount\n"
                  "    A1/rooting/1/1  Thu 2027-03-25  4 trays  back Sat 2027-04-17\n") !=
        std::string::npos);
  CHECK(sample.needs(Format::csv, view) ==
        "supply,title,order,batch,date,back,amount,spoilt,unit,rule,line\r\n"
        "leaf,Leaf,A1/rooting/1/1,A1,2027-03-25,,125,0,leaves,use 1 leaf each,"
        "leaf_cuttings.bud:19\r\n"
        "mix,Fine mix,A1/rooting/1/1,A1,2027-03-25,,5.1,0.7,L,use 35 mL mix each,"
        "leaf_cuttings.bud:20\r\n"
        "tray,\"Tray, 40 cells\",A1/rooting/1/1,A1,2027-03-25,2027-04-17,4,0,trays,"
        "use 1 tray per 40,leaf_cuttings.bud:21\r\n");
  const json mix = json::parse(sample.needs(Format::json, view))["supplies"][1];
  REQUIRE(mix["orders"].size() == 1);
  CHECK(mix["orders"][0]["order"] == "A1/rooting/1/1");
  CHECK(mix["orders"][0]["line"] == "leaf_cuttings.bud:20");
}

TEST_CASE("what comes back on the day on which most is out is not out on it") {
  // A comes back on Thursday, 15 April, on which B takes more.
  SamplePlan sample;
  sample.add_batch("A", 100, "2027-04-14");
  sample.add_batch("B", 200, "2027-05-07");
  sample.book().site.supplies["tray"].scrap = book::Placed<double>{0.1, {}};
  const std::string text = sample.needs(Format::table, {plan::Grouping::all, false, true});
  CAPTURE(text);
  CHECK(text.find("out on Thu 2027-04-15\n") != std::string::npos);
  CHECK(text.find("back Thu 2027-04-15") == std::string::npos);
  CHECK(text.find("back Sat 2027-05-08") != std::string::npos);
  CHECK(text.find("spoilt\n") != std::string::npos);
}

TEST_CASE("needs as CSV") {
  SamplePlan sample;
  add_batch(sample);
  price(sample);
  CHECK(sample.needs(Format::csv, {}, calendar::parse_iso_date("2027-03-16")) ==
        "kind,name,title,amount,unit,reused,pack,packs,spoilt,peak_date,on_hand,buy,buy_packs,cost,"
        "currency,missing_on,missing_batch,order_by,late,made\r\n"
        "supply,leaf,Leaf,125,leaves,no,,,0,,0,125,,,EUR,2027-03-25,A1,,no,\r\n"
        "supply,mix,Fine mix,5.1,L,no,20,1,0.7,,0,20,1,7.5,EUR,2027-03-25,A1,2027-03-15,yes,\r\n"
        "supply,tray,\"Tray, 40 cells\",4,trays,yes,,,0,2027-03-25,3,1,,0.9,EUR,2027-03-25,A1,,no,"
        "\r\n"
        "crew,,,0.6,person-hours,,,,,,,,,,,,,,,\r\n"
        "crew,potting,,1,person-hours,,,,,,,,,,,,,,,\r\n"
        "crew,propagation,,2.08333333333,person-hours,,,,,,,,,,,,,,,\r\n");
}

TEST_CASE("needs as JSON") {
  SamplePlan sample;
  add_batch(sample);
  price(sample);
  const NeedsView view{plan::Grouping::all, true, false};
  const json needs =
      json::parse(sample.needs(Format::json, view, calendar::parse_iso_date("2027-03-16")));
  CHECK(needs["site"] == "Mill Bank");
  CHECK(needs["currency"] == "EUR");
  REQUIRE(needs["supplies"].size() == 3);
  // Ordered on the 16th the mix comes on the 26th, a day late.
  CHECK(needs["supplies"][1] == json{{"supply", "mix"},
                                     {"title", "Fine mix"},
                                     {"amount", 5.1},
                                     {"unit", "L"},
                                     {"reused", false},
                                     {"pack", 20},
                                     {"packs", 1},
                                     {"spoilt", 0.7},
                                     {"peak_date", nullptr},
                                     {"peak", json::array()},
                                     {"on_hand", 0},
                                     {"buy", 20},
                                     {"buy_packs", 1},
                                     {"cost", 7.5},
                                     {"missing_on", "2027-03-25"},
                                     {"missing_batch", "A1"},
                                     {"order_by", "2027-03-15"},
                                     {"late", true},
                                     {"comes", "2027-03-26"},
                                     {"short", {{{"batch", "A1"}, {"date", "2027-03-25"}}}},
                                     {"deliveries",
                                      {{{"supplier", ""},
                                        {"amount", 20},
                                        {"packs", 1},
                                        {"pack", 20},
                                        {"cost", 7.5},
                                        {"order_by", "2027-03-15"},
                                        {"late", true},
                                        {"arrives", "2027-03-26"},
                                        {"used_from", "2027-03-25"},
                                        {"used_to", "2027-03-25"},
                                        {"over", 14.9},
                                        {"spoils", false}}}}});
  CHECK(needs["supplies"][2]["peak"] == json{{{"batch", "A1"}, {"amount", 4}}});
  CHECK(needs["supplies"][0]["pack"] == nullptr);
  REQUIRE(needs["crews"].size() == 3);
  CHECK(needs["crews"][1] ==
        json{{"crew", "potting"}, {"person_hours", 1}, {"short", json::array()}});
  CHECK(needs["crews"][2]["short"][0]["date"] == "2027-03-25");
  CHECK(needs["crews"][2]["short"][0]["there"] == 1);
  CHECK(needs["crews"][2]["short"][0]["batches"] == json{"A1"});
  CHECK(needs["costs"][0]["batch"] == "A1");
  CHECK(needs["costs"][0]["stages"][1]["labour"] == 18);
  CHECK(needs["costs"][0]["complete"] == false);
  CHECK(needs["costs_total"].get<double>() == doctest::Approx(61.5791667));
  CHECK(needs["unpriced_supplies"] == json{"leaf"});
  CHECK(needs["unpriced_crews"] == json{""});
}

TEST_CASE("nothing is needed for nothing") {
  SamplePlan sample;
  CHECK(sample.needs(Format::table) ==
        "Needs of Mill Bank, all batches\n\nNothing: there are no work orders.\n");
  CHECK(lines_of(sample.needs(Format::csv)).size() == 1);
  for (const auto grouping : {plan::Grouping::batch, plan::Grouping::day, plan::Grouping::week}) {
    CHECK(lines_of(sample.needs(Format::csv, by(grouping))).size() == 1);
  }
  CHECK(json::parse(sample.needs(Format::json, {plan::Grouping::week, true, true}))["supplies"]
            .empty());
}

TEST_CASE("no line of a table is wider than the page, whatever names are in it") {
  SamplePlan sample;
  add_batch(sample);
  price(sample);
  for (int i = 0; i < 30; ++i) {
    sample.add_batch("a_batch_with_rather_a_long_name_" + std::to_string(i), 100, "2027-04-16");
  }
  for (const auto grouping : {plan::Grouping::all, plan::Grouping::batch, plan::Grouping::day}) {
    for (const std::string& line : lines_of(sample.needs(Format::table, {grouping, true, true}))) {
      CHECK(line.size() <= 100);
    }
  }
}

TEST_CASE("money has two decimals, and large sums stay readable") {
  CHECK(money_text(12.4) == "12.40");
  CHECK(money_text(0) == "0.00");
  CHECK(money_text(0.125) == "0.13");
  CHECK(money_text(5 * (7.5 / 20)) == "1.88");
  CHECK(money_text(-0.001) == "0.00");
  CHECK(money_text(1234567.891) == "1234567.89");
  CHECK(money_text(2.5e20) == "2.5e+20");
  CHECK(money_text(sheet::no_value) == "-");
}

TEST_CASE("of many names the first ones are told") {
  CHECK(some_of({"A", "B"}, 2) == "A, B");
  CHECK(some_of({"A", "B", "C", "D"}, 2) == "A, B and 2 more");
}
