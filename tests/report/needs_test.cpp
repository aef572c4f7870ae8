#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "sample_plan.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::SamplePlan;
using nlohmann::json;

TEST_CASE("needs as a table") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  CHECK(sample.needs(Format::table) ==
        "Needs of Mill Bank, all batches\n"
        "\n"
        "  Supply              Amount      Packs\n"
        "  Leaf            125 leaves\n"
        "  Fine mix           4.375 L  1 of 20 L\n"
        "  Tray, 40 cells     4 trays             comes back; the most out at once\n"
        "\n"
        "  Crew            Work\n"
        "  anyone        36 min\n"
        "  potting        1.0 h\n"
        "  propagation    2.1 h\n"
        "  all together   3.7 h\n");
}

TEST_CASE("needs as CSV") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  CHECK(sample.needs(Format::csv) ==
        "kind,name,title,amount,unit,reused,pack,packs\r\n"
        "supply,leaf,Leaf,125,leaves,no,,\r\n"
        "supply,mix,Fine mix,4.375,L,no,20,1\r\n"
        "supply,tray,\"Tray, 40 cells\",4,trays,yes,,\r\n"
        "crew,,,0.6,person-hours,,,\r\n"
        "crew,potting,,1,person-hours,,,\r\n"
        "crew,propagation,,2.08333333333,person-hours,,,\r\n");
}

TEST_CASE("needs as JSON") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  const json needs = json::parse(sample.needs(Format::json));
  CHECK(needs["site"] == "Mill Bank");
  REQUIRE(needs["supplies"].size() == 3);
  CHECK(needs["supplies"][1] == json{{"supply", "mix"},
                                     {"title", "Fine mix"},
                                     {"amount", 4.375},
                                     {"unit", "L"},
                                     {"reused", false},
                                     {"pack", 20},
                                     {"packs", 1}});
  CHECK(needs["supplies"][0]["pack"] == nullptr);
  REQUIRE(needs["crews"].size() == 3);
  CHECK(needs["crews"][1] == json{{"crew", "potting"}, {"person_hours", 1}});
}

TEST_CASE("nothing is needed for nothing") {
  SamplePlan sample;
  CHECK(sample.needs(Format::table) ==
        "Needs of Mill Bank, all batches\n\nNothing: there are no work orders.\n");
  CHECK(sample.needs(Format::csv) == "kind,name,title,amount,unit,reused,pack,packs\r\n");
  CHECK(json::parse(sample.needs(Format::json))["supplies"].empty());
}
