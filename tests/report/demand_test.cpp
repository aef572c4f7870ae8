#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "report/demand/demand_report.hpp"
#include "sample_plan.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::lines_of;
using budwood::report::test::SamplePlan;

/// What is wanted, and promised, in all formats.
namespace {

book::Written loss(const std::string& text) {
  book::Written out;
  out.text = text;
  out.quantity = *units::parse_quantity(text);
  return out;
}

/// Two batches: one for the gate, one that is promised.
void want(SamplePlan& sample) {
  sample.book().site.currency = book::Placed<std::string>{"EUR", {}};
  book::Demand demand;
  demand.least.value = 80;
  demand.usual.value = 100;
  demand.most.value = 130;
  demand.too_many = loss("0.50");
  demand.too_few = loss("2.00");
  sample.add_batch("A1", 100, "2027-04-16").demand = demand;
  sample.add_batch("A2", 100, "2027-04-30").promised = {
      {60, *calendar::parse_iso_date("2027-04-29"), "Fair", {}},
      {40, *calendar::parse_iso_date("2027-04-30"), "", {}}};
}

std::string written(SamplePlan& sample, Format format, const Filter& filter = {}) {
  std::ostringstream out;
  write_demand(out, sample.plan(), filter, format);
  return out.str();
}

}  // namespace

TEST_CASE("demand as a table, a row a number and a row a promise") {
  SamplePlan sample;
  want(sample);
  const auto lines = lines_of(written(sample, Format::table));
  REQUIRE(lines.size() == 10);
  CHECK(lines[0] == "What is wanted at Mill Bank");
  CHECK(lines[2].starts_with("  Batch A1         Plants  Start with"));
  CHECK(lines[3].starts_with("  as planned          100  125 in `rooting`"));
  CHECK(lines[4].starts_with("  best on average"));
  CHECK(lines[5].starts_with("  sure to 90 %"));
  CHECK(lines[8].starts_with("  Thu 2027-04-29        60  Fair"));
  CHECK(lines[9].find("Fri 2027-04-30") != std::string::npos);
}

TEST_CASE("demand as CSV and JSON tell the same numbers") {
  SamplePlan sample;
  want(sample);
  const auto lines = lines_of(written(sample, Format::csv));
  REQUIRE(lines.size() == 6);
  CHECK(lines[0].starts_with("batch,kind,plants,starts,expected,sold,over,missing,enough,lost"));
  CHECK(lines[1].starts_with("A1,as planned,100,125,100,"));
  CHECK(lines[4].starts_with("A2,promised,60,,,,,,,,,2027-04-29,Fair,0,2027-04-30,no"));
  CHECK(lines[5].starts_with("A2,promised,40,,,,,,,,,2027-04-30,,40,2027-04-30,yes"));
  const auto json = nlohmann::json::parse(written(sample, Format::json));
  REQUIRE(json["batches"].size() == 2);
  const auto& demand = json["batches"][0]["demand"];
  CHECK(demand["most"] == 130);
  REQUIRE(demand["numbers"].size() == 3);
  CHECK(demand["numbers"][1]["lost"] <= demand["numbers"][0]["lost"]);
  CHECK(demand["numbers"][2]["enough"] >= 0.9);
  CHECK(json["batches"][1]["promised"][0]["kept"] == false);
  const auto orders = nlohmann::json::parse(sample.orders(Format::json));
  CHECK(orders["batches"][0]["demand"] == demand);
}

TEST_CASE("the plan has lines for demand and promises, of one batch alone if asked") {
  SamplePlan sample;
  want(sample);
  const std::string plan = sample.orders(Format::table);
  CHECK(plan.find("  Demand   80 to 130 wanted, usually 100; 0.50 EUR lost on a plant too many") !=
        std::string::npos);
  CHECK(plan.find("  Demand   As planned, 100 plants: start with 125 in `rooting`") !=
        std::string::npos);
  CHECK(plan.find("  Promise  60 plants on Thu 2027-04-29 for Fair: 0 expected by then, all from "
                  "Fri 2027-04-30 on.") != std::string::npos);
  Filter one;
  one.batch = "A2";
  CHECK(written(sample, Format::table, one).find("A1") == std::string::npos);
  SamplePlan none;
  none.add_batch("A1", 100, "2027-04-16");
  CHECK(written(none, Format::table).find("No batch says `demand` or `promised`.") !=
        std::string::npos);
}
