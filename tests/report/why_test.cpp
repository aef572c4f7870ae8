#include "report/why.hpp"

#include <doctest/doctest.h>

#include "sample_plan.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::SamplePlan;

namespace {

std::string why(SamplePlan& sample, const std::string& cell, bool all = false) {
  const plan::Plan& plan = sample.plan();
  const plan::BatchPlan& batch = plan.batches.front();
  const sheet::CellId id = plan.sheet_of(batch).layout().find(cell);
  REQUIRE(id != sheet::no_cell);
  std::ostringstream out;
  write_why(out, plan, batch, id, all);
  return out.str();
}

}  // namespace

TEST_CASE("a date says what holds it, up to the date that the batch sets") {
  SamplePlan sample;
  // A Sunday: nobody hands plants over then, so the batch is ready on Friday.
  sample.add_batch("A1", 100, "2027-04-18");
  CHECK(why(sample, "rooting.start") ==
        "rooting.start of A1 is Thu 2027-03-25, and not later:\n"
        "    `rooting` lasts 21 days. (leaf_cuttings.bud:9)\n"
        "  rooting.end is Thu 2027-04-15 at the latest:\n"
        "    `potting` follows `rooting`.\n"
        "  potting.start is Thu 2027-04-15 at the latest:\n"
        "    `potting` lasts 1 day. (leaf_cuttings.bud:30)\n"
        "  potting.end is Fri 2027-04-16 at the latest:\n"
        "    The batch is ready when `potting` is over.\n"
        "  batch.ready is Fri 2027-04-16 at the latest:\n"
        "    The batch must be ready by Sunday 2027-04-18.\n"
        "    Nobody works on Sunday 2027-04-18, and plants are handed over on working days.\n");
}

TEST_CASE("a number says what it rests on, down to inputs and their layer") {
  SamplePlan sample;
  sample.add_batch("A1", 100, "2027-04-16");
  const std::string text = why(sample, "rooting.plants");
  CAPTURE(text);
  CHECK(text.starts_with("rooting.plants of A1 is 125:\n"));
  CHECK(text.find("rooting.loss = 20 %: loses 20 % (leaf_cuttings.bud:14)") != std::string::npos);
  CHECK(text.find("batch.plants = 100: ordered") != std::string::npos);
  CHECK(text.find("batch.lead") == std::string::npos);
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
  CHECK(folded.find("The batch must be ready by Friday 2027-04-16.") != std::string::npos);
  CHECK(all.find("more steps") == std::string::npos);
  CHECK(all.find("`s9` lasts 2 days.") != std::string::npos);
}
