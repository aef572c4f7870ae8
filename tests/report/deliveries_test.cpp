#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "sample_plan.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::amount;
using budwood::report::test::SamplePlan;

/// The shopping list.
namespace {

/// 4.4 L of mix on 25 March, and as much two weeks later: it keeps for ten days.
void buy_of_two(SamplePlan& sample) {
  sample.add_batch("A1", 100, "2027-04-16");
  sample.add_batch("A2", 100, "2027-04-30");
  book::Site& site = sample.book().site;
  site.currency = book::Placed<std::string>{"EUR", {}};
  book::SupplyFacts& mix = site.supplies["mix"];
  mix.pack = amount("2 L");
  mix.keeps = book::Placed<double>{10 * 86400.0, {}};
  mix.lead_time = book::Placed<double>{5 * 86400.0, {}};
  book::Offer fen;
  fen.supplier.value = "Fen Peat";
  fen.price = amount("3 EUR/pack");
  fen.breaks = {{amount("4 packs"), amount("2 EUR/pack")}};
  mix.offers = {fen};
}

NeedsView shopping() {
  NeedsView view;
  view.deliveries = true;
  return view;
}

}  // namespace

TEST_CASE("the shopping list has a table a supplier, and says why more is bought than needed") {
  SamplePlan sample;
  buy_of_two(sample);
  CHECK(
      sample.needs(Format::table, shopping()) ==
      "Needs of Mill Bank, all batches\n"
      "\n"
      "  From Fen Peat                  Cost EUR  Order by        Arrives         Lasts until\n"
      "  Fine mix       4 packs of 2 L      8.00  Fri 2027-03-19  Thu 2027-03-25  Thu 2027-03-25\n"
      "  Fine mix       4 packs of 2 L      8.00  Fri 2027-04-02  Thu 2027-04-08  Thu 2027-04-08\n"
      "  all together                      16.00\n"
      "\n"
      "  From nobody named              Cost EUR  Order by      Arrives         Lasts until\n"
      "  Leaf               250 leaves         -  no lead time  Thu 2027-03-25  Thu 2027-04-08\n"
      "  Tray, 40 cells        8 trays         -  no lead time  Thu 2027-03-25  Thu 2027-04-08\n"
      "\n"
      "  Fine mix for Thu 2027-03-25: 4 packs cost 1.00 EUR less than the 3 packs that would do.\n"
      "  Fine mix of Thu 2027-03-25: 3.6 L are over, and do not keep until the next use.\n"
      "  Fine mix for Thu 2027-04-08: 4 packs cost 1.00 EUR less than the 3 packs that would "
      "do.\n");
}

TEST_CASE("the shopping list as CSV has a row a delivery") {
  SamplePlan sample;
  buy_of_two(sample);
  const auto lines = test::lines_of(sample.needs(Format::csv, shopping()));
  REQUIRE(lines.size() == 5);
  CHECK(
      lines[0].starts_with("supplier,supply,title,order_by,late,arrives,amount,unit,packs,pack,"));
  CHECK(
      lines[1].starts_with("Fen Peat,mix,Fine mix,2027-03-19,no,2027-03-25,8,L,4,2,8,EUR,"
                           "2027-03-25,2027-03-25,A1,3.6,yes"));
  CHECK(
      lines[2].starts_with("Fen Peat,mix,Fine mix,2027-04-02,no,2027-04-08,8,L,4,2,8,EUR,"
                           "2027-04-08,2027-04-08,A2,3.6,no"));
  CHECK(lines[3].starts_with(",leaf,Leaf,,no,2027-03-25,250,leaves,,,,EUR,2027-03-25,2027-04-08,"));
}

TEST_CASE("the deliveries of a supply stand in JSON") {
  SamplePlan sample;
  buy_of_two(sample);
  const auto all = nlohmann::json::parse(sample.needs(Format::json));
  for (const auto& supply : all["supplies"]) {
    if (supply["supply"] != "mix") continue;
    REQUIRE(supply["deliveries"].size() == 2);
    CHECK(supply["deliveries"][0]["supplier"] == "Fen Peat");
    CHECK(supply["deliveries"][0]["packs"] == 4);
    CHECK(supply["deliveries"][0]["cost"] == 8);
    CHECK(supply["deliveries"][0]["spoils"] == true);
    CHECK(supply["buy_packs"] == 8);
  }
}
