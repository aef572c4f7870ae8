#include "report/sheet/sensitivity.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "sample_plan.hpp"
#include "sheet/template/cell_names.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::SamplePlan;

namespace {

/// Sea-kale thongs; the share that shoots decides the number, the soil the dates.
const char* thongs = R"(protocol thongs "Thongs" {
  input shoots = 80 % from 50 % to 100 %
  input soil = 10 degC from 8 degC to 16 degC
  input pace = 60 per hour from 40 per hour to 80 per hour
  input free = 3 cm
  table days_to_shoot (soil degC -> days) { 9: 30  15: 18 }
  part thong
  stage cutting of thong { lasts 1 day do "=Cut \"and\" lay" on day 1 { rate pace } }
  stage shooting of thong { lasts 10 to 40 days usually days_to_shoot(soil) loses 1 - shoots }
  require cutting.plants <= 150 plants else "=Too many, say \"{cutting.plants}\", for a bed."
}
)";

std::string written(SamplePlan& sample, const std::string& cell, Format format) {
  const plan::Plan& plan = sample.plan();
  std::vector<BatchSensitivity> all;
  for (const plan::BatchPlan& batch : plan.batches) {
    const sheet::CellId id = sheet::find_cell(plan.sheet_of(batch).layout(), cell);
    REQUIRE(id != sheet::no_cell);
    all.push_back({&batch, plan::sensitivity_of(plan, batch, id)});
  }
  REQUIRE_FALSE(all.empty());
  std::ostringstream out;
  write_sensitivity(out, plan, all, format, {text::Colour::never, 120});
  return out.str();
}

}  // namespace

TEST_CASE("a table tells what moves a value, by how much, and where the plan holds") {
  SamplePlan sample(thongs);
  sample.add_batch("K1", 100, "2027-04-16");
  CHECK(
      written(sample, "cutting.plants", Format::table) ==
      "What moves cutting.plants of K1, now 125 plants:\n"
      "\n"
      "  Input     From       To      Now      At its      At its    Moves by  The plan\n"
      "                                       low end    high end              holds\n"
      "  shoots    50 %    100 %     80 %  200 plants  100 plants  100 plants  66.7 % to 100 %\n"
      "  soil    8 degC  16 degC  10 degC  125 plants  125 plants           -  9 degC to 15 degC\n"
      "  shoots below 66.7 %: =Too many, say \"151\", for a bed.\n"
      "  soil below 9 degC: there is no value for the length of `shooting`\n"
      "  soil above 15 degC: there is no value for the length of `shooting`\n"
      "\n"
      "  It stays as it is, and the plan holds, over the whole range of pace.\n"
      "  Without a range, so not tried: free.\n"
      "  The batch itself, tried from half to double its plants and four weeks either way; nobody "
      "wrote these ranges:\n"
      "\n"
      "  Batch                   From              To             Now      At its      At its    "
      "Moves by  The plan\n"
      "                                                                   low end    high end      "
      "        holds\n"
      "  batch.plants       50 plants      200 plants      100 plants   63 plants  250 plants  187 "
      "plants  50 plants to 120\n"
      "                                                                                            "
      "        plants\n"
      "  batch.ready   Fri 2027-03-19  Fri 2027-05-14  Fri 2027-04-16  125 plants  125 plants      "
      "     -  everywhere\n"
      "  batch.plants above 120 plants: =Too many, say \"152\", for a bed.\n"
      "  Crews' hours, rooms and counted plants are not looked at here; `plan --set` tells.\n");
}

TEST_CASE("dates move by days, and where the plan holds is told for those that do not move it") {
  SamplePlan sample(thongs);
  sample.add_batch("K1", 100, "2027-04-16");
  const std::string text = written(sample, "cutting.start", Format::table);
  CAPTURE(text);
  CHECK(text.starts_with("What moves cutting.start of K1, now Thu 2027-03-18:\n"));
  CHECK(text.find("  12 days  9 degC to 15 degC\n") != std::string::npos);
  CHECK(
      text.find("  soil on its way: lowest Tue 2027-03-16 at 9 degC, highest Sun 2027-03-28 at 15 "
                "degC.\n") != std::string::npos);
  CHECK(text.find("over the whole range of pace.\n") != std::string::npos);
}

TEST_CASE("programs read numbers in units, and texts that are safe in spreadsheets") {
  SamplePlan sample(thongs);
  sample.add_batch("K1", 100, "2027-04-16");
  const std::vector<std::string> lines =
      test::lines_of(written(sample, "cutting.plants", Format::csv));
  REQUIRE(lines.size() == 6);
  CHECK(
      lines[1] ==
      "K1,cutting.plants,plants,125,shoots,input,%,50,100,80,200,100,100,100,200,50,100,66.7,100,1,"
      "\"'=Too many, say \"\"151\"\", for a bed.\",\r");
  const auto json = nlohmann::json::parse(written(sample, "cutting.start", Format::json));
  const auto& batch = json.at("batches").at(0);
  CHECK(batch.at("batch") == "K1");
  CHECK(batch.at("unit") == "date");
  const auto& soil = batch.at("inputs").at(0);
  CHECK(soil.at("input") == "soil");
  CHECK(soil.at("at_low").is_null());
  CHECK(soil.at("holds").at(0).at("from") == 9);
  CHECK(batch.at("without_range").at(0) == "free");
}

TEST_CASE("every batch has a table of its own") {
  SamplePlan sample(thongs);
  sample.add_batch("K1", 100, "2027-04-16");
  sample.add_batch("K2", 200, "2027-04-16");
  const std::string text = written(sample, "cutting.plants", Format::table);
  CHECK(text.find("What moves cutting.plants of K1, now 125 plants:") != std::string::npos);
  CHECK(
      text.find("\nWhat moves cutting.plants of K2, now 250 plants:\n"
                "  As it stands K2 cannot be carried out: =Too many, say \"250\", for a bed.\n") !=
      std::string::npos);
}
