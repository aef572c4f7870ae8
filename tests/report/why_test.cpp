#include "report/why/why.hpp"

#include <doctest/doctest.h>

#include "sample_plan.hpp"
#include "sheet/template/cell_names.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::SamplePlan;

namespace {

std::string answer(SamplePlan& sample, const std::string& cell, bool uses, bool all) {
  const plan::Plan& plan = sample.plan();
  REQUIRE_FALSE(plan.batches.empty());
  const plan::BatchPlan& batch = plan.batches.front();
  const sheet::CellId id = sheet::find_cell(plan.sheet_of(batch).layout(), cell);
  REQUIRE(id != sheet::no_cell);
  std::ostringstream out;
  (uses ? write_uses : write_why)(out, plan, batch, id, all, {text::Colour::never, 1000});
  return out.str();
}

std::string why(SamplePlan& sample, const std::string& cell, bool all = false) {
  return answer(sample, cell, false, all);
}

std::string uses(SamplePlan& sample, const std::string& cell, bool all = false) {
  return answer(sample, cell, true, all);
}

/// A bed of hazel layers: counts of every kind, and a table.
const char* hazel = R"(protocol hazel "Hazel layers" {
  input strike = 75 % seen 150 of 200 from 40 % to 95 % "layers that root"
  input warmth = 14 degC from 6 degC to 30 degC
  let spare = hilling.plants - batch.plants
  table weeks_to_root (soil degC -> weeks) { 10: 12  20: 6 }
  supply tray "Tray" in trays
  supply tie "Tie" in ties
  part layer "Layer"
  stage hilling of layer {
    lasts 2 hours
    no wait
    do "Hill up" at start { rate 60 per hour setup 15 min crew field use 1 tie each use 1 tray per 24 }
  }
  stage striking of layer {
    lasts 5 weeks to 14 weeks usually weeks_to_root(warmth)
    loses 1 - strike
    keep root_zone 18 degC
    do "Water" every 7 days from day 7 { time 20 min people 2 }
  }
  stage lifting of layer { lasts 1 day loses 4 % do "Lift" on day 1 { time 30 s each } }
  advise spare <= (batch.plants + 40 plants) / 2 # a hand full
    + (striking.root_zone.last - 16 degC) / 1 degC_difference * 1 plants
    else "Many to spare."
}
)";

}  // namespace

TEST_CASE("a batch that is late is ready on the earliest day, not on the one asked for") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  sample.book().today = calendar::parse_iso_date("2027-04-01");
  const std::string told = why(sample, "ready");
  CHECK(told.find("A1 is ready on Fri 23 April 2027, the earliest day on which it can be; ") == 0);
  CHECK(told.find("16 April was asked for") != std::string::npos);
}

TEST_CASE("a date says what holds it, up to the date that the batch sets") {
  SamplePlan sample;
  // A Sunday: nobody hands plants over then, so the batch is ready on Friday.
  sample.add_batch("A1", 100, "2027-04-18");
  CHECK(why(sample, "rooting.start") ==
        "A1 starts `rooting` on Thu 25 March 2027, because 18 April is a Sunday and plants are "
        "handed over on working days, and the batch has to be ready by Sun 18 April.\n"
        "  `rooting` lasts 21 days (leaf_cuttings.bud:9) and has to be over by Thu 15 April, when "
        "`potting` starts.\n"
        "  `potting` lasts 1 day (leaf_cuttings.bud:30) and has to be over by Fri 16 April, when "
        "the batch is ready.\n"
        "  The batch has to be ready by Sun 18 April; plants are handed over on working days, and "
        "18 April is a Sunday, 17 April a Saturday: so by Fri 16 April.\n");
}

TEST_CASE("a date that the batch sets is told in one sentence") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  CHECK(why(sample, "ready") == "A1 is ready on Fri 16 April 2027, the day asked for.\n");
}

TEST_CASE("stages that are over on the day they start, and closed days, are told in passing") {
  SamplePlan sample(hazel);
  // 84 days before the hand-over, less a day for lifting, is a Saturday.
  sample.book().site.inputs["hazel"]["warmth"] = {{}, "10 degC", *units::parse_quantity("10 degC")};
  sample.add_batch("A1", 100, "2027-09-06");
  CHECK(
      why(sample, "hilling.start") ==
      "A1 starts `hilling` on Fri 11 June 2027, because 13 June is a Sunday and \"Hill up\" in "
      "`hilling` needs people, and the batch has to be ready by Mon 6 September.\n"
      "  `hilling` could start as late as Sun 13 June, but \"Hill up\" needs people, and 13 June "
      "is "
      "a Sunday, 12 June a Saturday (leaf_cuttings.bud:12): so by Fri 11 June.\n"
      "  `striking`, on the same day as `hilling`, lasts 84 days (leaf_cuttings.bud:15) and has to "
      "be over by Sun 5 September, when `lifting` starts.\n"
      "  `lifting` lasts 1 day (leaf_cuttings.bud:20) and has to be over by Mon 6 September, the "
      "day by which the batch has to be ready.\n");
  CHECK(why(sample, "striking.start")
            .find("  `striking` follows `hilling` at once "
                  "(leaf_cuttings.bud:11), and `hilling` is over on the day "
                  "it starts.\n") != std::string::npos);
}

TEST_CASE("pinned dates end the chain, with their line; recorded ones say so") {
  SamplePlan sample;
  const text::Source place("batches.yaml", "a: 1\npin\n");
  sample.add_batch("A1", 100, "2027-05-28")
      .pins.push_back({"potting",
                       book::Pin::Side::start,
                       *calendar::parse_iso_date("2027-04-15"),
                       {&place, 5, 8}});
  CHECK(
      why(sample, "rooting.end") ==
      "`rooting` of A1 is over on Thu 15 April 2027, because `potting` starts on Thu 15 April, as "
      "the batch says.\n"
      "  `potting` follows `rooting` and has to start by Thu 15 April.\n"
      "  `potting` starts on Thu 15 April, as the batch says (batches.yaml:2).\n");
  CHECK(why(sample, "potting.start") ==
        "A1 starts `potting` on Thu 15 April 2027, as the batch says (batches.yaml:2).\n");
}

TEST_CASE("a batch that was started says why it is not ready earlier, in the order of time") {
  SamplePlan sample;
  book::Batch& batch = sample.add_batch("A1", 100, "2027-04-16");
  batch.ready.reset();
  batch.not_before = book::Placed<calendar::Day>{*calendar::parse_iso_date("2027-03-27"), {}};
  CHECK(
      why(sample, "ready") ==
      "A1 is ready on Tue 20 April 2027: the batch starts on Sat 27 March or later and is ready on "
      "Tue 20 April at the earliest.\n"
      "  The batch starts on Sat 27 March or later and is ready on Tue 20 April at the earliest:\n"
      "  `rooting` could start on Sat 27 March, but \"Cut leaves, lay on the mix\" needs people, "
      "and "
      "28 March is a Sunday, 27 March a Saturday (leaf_cuttings.bud:15): so on Mon 29 March.\n"
      "  `rooting` lasts 21 days (leaf_cuttings.bud:9), to Mon 19 April.\n"
      "  `potting` lasts 1 day (leaf_cuttings.bud:30), to Tue 20 April.\n");
}

TEST_CASE("a batch that starts on a day says why what follows is not earlier") {
  SamplePlan sample;
  book::Batch& batch = sample.add_batch("A1", 100, "2027-04-16");
  batch.ready.reset();
  batch.start = book::Placed<calendar::Day>{*calendar::parse_iso_date("2027-03-29"), {}};
  CHECK(why(sample, "potting.start") ==
        "A1 starts `potting` on Mon 19 April 2027: the batch starts on Mon 29 March, and `potting` "
        "can start on Mon 19 April at the earliest.\n"
        "  The batch starts on Mon 29 March, and `potting` can start on Mon 19 April at the "
        "earliest:\n"
        "  `rooting` lasts 21 days (leaf_cuttings.bud:9), to Mon 19 April.\n");
  CHECK(why(sample, "rooting.start") ==
        "A1 starts `rooting` on Mon 29 March 2027: the batch starts on Mon 29 March.\n"
        "  The batch starts on Mon 29 March.\n");
}

TEST_CASE("a number says its sum with the values put in, and what it rests on") {
  SamplePlan sample(hazel);
  sample.add_batch("A1", 300, "2027-09-06");
  // 300 / 0.72 = 416.67
  CHECK(
      why(sample, "hilling.plants") ==
      "`hilling` of A1 starts with 417 plants: 300 / (0.75 x 0.96), rounded up from 416.667 "
      "(leaf_cuttings.bud:9).\n"
      "  batch.plants = 300: ordered\n"
      "  striking.loss = 25 %: `1 - strike`, here 1 - 75 % (leaf_cuttings.bud:16)\n"
      "    strike = 75 %: the usual value of the protocol, layers that root (leaf_cuttings.bud:2)\n"
      "  lifting.loss = 4 %: as written (leaf_cuttings.bud:20)\n");
  CHECK(why(sample, "striking.left") ==
        "312.75 plants of A1 are expected to come through `striking`: 417 x 0.75 "
        "(leaf_cuttings.bud:14).\n"
        "  hilling.plants = 417: 300 / (0.75 x 0.96), rounded up from 416.667 "
        "(leaf_cuttings.bud:9)\n"
        "    batch.plants = 300: ordered\n"
        "    striking.loss = 25 %: `1 - strike`, here 1 - 75 % (leaf_cuttings.bud:16)\n"
        "      strike = 75 %: the usual value of the protocol, layers that root "
        "(leaf_cuttings.bud:2)\n"
        "    lifting.loss = 4 %: as written (leaf_cuttings.bud:20)\n");
}

TEST_CASE("hours, supplies and lengths say how they are worked out") {
  SamplePlan sample(hazel);
  sample.add_batch("A1", 300, "2027-09-06");
  const auto first = [&](const std::string& cell) {
    return test::lines_of(why(sample, cell)).front();
  };
  CHECK(first("hilling.work1.hours") ==
        "hilling.work1.hours of A1 is 7.2 h: 417 plants / 60 per hour + 15 min to set up "
        "(leaf_cuttings.bud:12).");
  CHECK(first("hilling.work1.use1") ==
        "hilling.work1.use1 of A1 is 417 ties: 417 plants x 1 (leaf_cuttings.bud:12).");
  // 417 / 24 = 17.4
  CHECK(first("hilling.work1.use2") ==
        "hilling.work1.use2 of A1 is 18 trays: 1 for every 24 of 417 plants, whole ones "
        "(leaf_cuttings.bud:12).");
  CHECK(first("lifting.work1.hours") ==
        "lifting.work1.hours of A1 is 2.6 h: 313 plants x 30 s (leaf_cuttings.bud:20).");
  CHECK(first("striking.work1.hours") ==
        "striking.work1.hours of A1 is 40 min: 20 min x 2 people (leaf_cuttings.bud:18).");
  // At 14 degC 12 - 0.4 * 6 = 9.6 weeks are 67.2 days.
  CHECK(first("striking.usual") ==
        "striking.usual of A1 is 68 days: `weeks_to_root(warmth)`, here weeks_to_root(14 degC), "
        "rounded up from 67.2 days (leaf_cuttings.bud:15).");
  CHECK(first("hilling.usual") ==
        "hilling.usual of A1 is 0 days: shorter than a shift of 8 h, so it is over on its day "
        "(leaf_cuttings.bud:10).");
  CHECK(
      first("lifting.plants") ==
      "`lifting` of A1 starts with 313 plants: what is left of `striking`, rounded up from 312.75 "
      "(leaf_cuttings.bud:20).");
}

TEST_CASE("formulas of several lines, with brackets, comments and readings, keep their meaning") {
  SamplePlan sample(hazel);
  sample.add_batch("A1", 300, "2027-09-06");
  CHECK(test::lines_of(why(sample, "advise.1")).front() ==
        "advise.1 of A1 is yes: `spare <= (batch.plants + 40 plants) / 2 + "
        "(striking.root_zone.last - 16 degC) / 1 "
        "degC_difference * 1 plants`, here 117 <= (300 + 40 plants) / 2 + (18 degC - 16 degC) / 1 "
        "degC_difference * 1 plants (leaf_cuttings.bud:21).");
  CHECK(
      test::lines_of(why(sample, "spare")).front() ==
      "spare of A1 is 117: `hilling.plants - batch.plants`, here 417 - 300 (leaf_cuttings.bud:4).");
}

TEST_CASE("a reading without a unit is told as a plain number") {
  SamplePlan sample(R"(protocol fog { part slip
  stage root of slip { lasts 4 days  room tent  mist 10 s every 60 min }
  advise root.mist_pulses.last <= 8 else "Taper the mist."
})");
  sample.add_batch("F1", 100, "2027-06-11");
  const std::string told = why(sample, "advise.1");
  CAPTURE(told);
  CHECK(told.find("here 24 <= 8") != std::string::npos);
}

TEST_CASE("a number that must be sure says the chance, the count behind it, and the average") {
  SamplePlan sample(hazel);
  sample.add_batch("A1", 300, "2027-09-06").sure = book::Placed<double>{0.9, {}};
  const std::string text = why(sample, "hilling.plants");
  CAPTURE(text);
  CHECK(
      text.find("the smallest number of which 300 come through 0.75 x 0.96 with a chance of 90 % "
                "(beta-binomial distribution, as 150 of 200 were seen); 417 would do on average") !=
      std::string::npos);
  CHECK(text.find("striking.good = 150: came through, of 200 seen") != std::string::npos);
  CHECK(text.find("batch.sure = 90 %: how sure the batch must be of its number") !=
        std::string::npos);
}

TEST_CASE("inputs name their layer: batch, site or protocol") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  SamplePlan ours(hazel);
  ours.book().site.inputs["hazel"]["strike"] = {{}, "80 %", *units::parse_quantity("80 %")};
  ours.add_batch("A1", 100, "2027-09-06").set["warmth"] = {
      {}, "12 degC", *units::parse_quantity("12 degC")};
  CHECK(why(ours, "warmth").starts_with("warmth of A1 is 12 degC: given by the batch"));
  CHECK(
      why(ours, "strike").starts_with("strike of A1 is 80 %: what the site has learned, layers "));
  CHECK(why(sample, "rooting.plants").find("batch.lead") == std::string::npos);
}

TEST_CASE("a missing value is followed to where it got lost") {
  SamplePlan sample(hazel);
  sample.add_batch("A1", 100, "2027-09-06").set["warmth"] = {
      {}, "8 degC", *units::parse_quantity("8 degC")};
  CHECK(why(sample, "striking.hours") ==
        "striking.hours of A1 has no value.\n"
        "  striking.hours rests on striking.work1.times, which has none (leaf_cuttings.bud:14).\n"
        "  striking.work1.times rests on striking.start, which has none (leaf_cuttings.bud:18).\n"
        "  striking.start rests on striking.usual, which has none (leaf_cuttings.bud:14).\n"
        "  striking.usual: `weeks_to_root` is asked for 8 degC, and goes from 10 degC to 20 degC "
        "(leaf_cuttings.bud:5) in `weeks_to_root(warmth)`, here weeks_to_root(8 degC) "
        "(leaf_cuttings.bud:15).\n");
}

TEST_CASE("a batch without dates says what contradicts, and what would help") {
  SamplePlan sample;
  book::Batch& batch = sample.add_batch("A1", 100, "2027-04-16");
  batch.pins.push_back(
      {"rooting", book::Pin::Side::start, *calendar::parse_iso_date("2027-03-30"), {}});
  const std::string text = why(sample, "potting.start");
  CAPTURE(text);
  CHECK(
      text.starts_with("potting.start of A1 has no value.\n"
                       "  Its dates contradict each other, and miss by 5 days:\n"));
  CHECK(text.find("    `rooting` lasts 21 days. (leaf_cuttings.bud:9)\n") != std::string::npos);
  CHECK(text.find("  This would help: ") != std::string::npos);
}

TEST_CASE("what rests on a value, by steps and stages, and what changes with it") {
  SamplePlan sample(hazel);
  sample.add_batch("A1", 300, "2027-09-06");
  CHECK(uses(sample, "strike") ==
        "What rests on strike of A1, 75 %:\n"
        "  at once\n"
        "    striking: loss 25 %\n"
        "  2 steps on\n"
        "    hilling: plants 417\n"
        "    striking: left 312.75\n"
        "  3 steps on\n"
        "    hilling: left 417, work1.hours 7.2 h, work1.use1 417 ties, work1.use2 18 trays\n"
        "    lifting: plants 313, left 300.24\n"
        "    spare 117\n"
        "  ... 6 more values; --all shows them.\n"
        "  A change of it can move no dates, the numbers of plants in `hilling`, `striking` and "
        "`lifting`, and 11 of 11 work orders.\n");
  const std::string all = uses(sample, "strike", true);
  CHECK(all.find("    lifting: plants 313, left 300.24\n") != std::string::npos);
  CHECK(all.find("more values") == std::string::npos);
}

TEST_CASE("what bounds dates moves all of them, and every work order") {
  SamplePlan sample(hazel);
  sample.add_batch("A1", 300, "2027-09-06");
  const std::string text = uses(sample, "warmth", true);
  CAPTURE(text);
  CHECK(text.find("    striking: usual 68 days\n") != std::string::npos);
  CHECK(text.find("start Tue 2027-06-29") != std::string::npos);
  CHECK(text.find("batch.ready Mon 2027-09-06") != std::string::npos);
  CHECK(
      text.ends_with("  A change of it can move dates, no numbers of plants, and 11 of 11 work "
                     "orders.\n"));
  CHECK(uses(sample, "hours") == "Nothing rests on batch.hours of A1, 15.8 h.\n");
}

TEST_CASE("dates that the batch sets move the others") {
  SamplePlan sample(hazel);
  sample.add_batch("A1", 300, "2027-09-06");
  const std::string text = uses(sample, "batch.ready", true);
  CAPTURE(text);
  CHECK(text.find("    striking: start ") != std::string::npos);
  CHECK(text.find("A change of it can move dates, ") != std::string::npos);
}

TEST_CASE("long answers are folded, and all of them can be asked for") {
  std::string chain = "protocol long { part p\n";
  for (int i = 1; i <= 12; ++i) {
    chain += "stage s" + std::to_string(i) + " of p { lasts 2 days do \"Look\" }\n";
  }
  SamplePlan sample(chain + "}");
  sample.add_batch("A1", 10, "2027-04-16");
  const std::string folded = why(sample, "s1.start");
  const std::string all = why(sample, "s1.start", true);
  CHECK(folded.find("more steps; --all shows them.") != std::string::npos);
  CHECK(folded.find("Fri 16 April, the day by which the batch has to be ready.") !=
        std::string::npos);
  CHECK(all.find("more steps") == std::string::npos);
  CHECK(all.find("`s9` lasts 2 days") != std::string::npos);
}

TEST_CASE("no control character of a title reaches the answer") {
  SamplePlan sample(test::protocol_with_title("Sow \x1b[31m100 % {red}"));
  sample.add_batch("A1", 10, "2027-04-16");
  for (const char* cell : {"s.start", "s.hours", "s.work1.hours", "ready"}) {
    const std::string text = why(sample, cell) + uses(sample, cell);
    CHECK(text.find('\x1b') == std::string::npos);
  }
}

TEST_CASE("every value of a batch has an answer, both ways") {
  SamplePlan sample(hazel);
  sample.book().site.inputs["hazel"]["strike"] = {{}, "80 %", *units::parse_quantity("80 %")};
  sample.add_batch("A1", 300, "2027-09-06").sure = book::Placed<double>{0.95, {}};
  const sheet::Template& t = sample.plan().sheets.front().layout();
  for (const sheet::Cell& cell : t.cells) {
    CAPTURE(cell.name);
    const std::string text = why(sample, cell.name, true);
    CHECK(text.find("A1") != std::string::npos);
    CHECK(text.find("nan") == std::string::npos);
    CHECK(text.find(": -") == std::string::npos);
    CHECK_FALSE(uses(sample, cell.name, true).empty());
  }
}
