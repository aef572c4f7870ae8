#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "../day.hpp"
#include "../words.hpp"
#include "report/record/record_list.hpp"
#include "sample_plan.hpp"

/// What is read of a batch that is under way or over.
using namespace budwood;
using namespace budwood::report;
using budwood::report::test::lines_of;
using budwood::report::test::SamplePlan;
using budwood::tests::day;
using budwood::tests::has;

namespace {

/// Rooting begins on Thursday 25 March; it is looked at on 31 March, 7 and 14 April.
void go_on(SamplePlan& sample, const std::string& today) {
  book::Batch& batch = sample.add_batch("A1", 100, "2027-04-16");
  batch.pins.push_back({"rooting", book::Pin::Side::start, day("2027-03-25"), {}, true});
  sample.book().today = day(today);
}

}  // namespace

TEST_CASE("a batch that is asked for is shown even when no order of it passes") {
  SamplePlan sample;
  go_on(sample, "2027-03-26");
  Filter filter;
  filter.batch = "A1";
  filter.to = day("2027-03-01");
  const std::string text = sample.orders(Format::table, filter);
  CHECK(has(text, "Batch A1: 100 plants ready on"));
  CHECK(has(text, "No work orders up to 2027-03-01"));
}

TEST_CASE("what is overdue is told as long as it can be done; rounds that are over are counted") {
  SamplePlan sample;
  go_on(sample, "2027-04-08");
  const std::string text = sample.orders(Format::table);
  CAPTURE(text);
  CHECK(has(text, "Overdue on Thu 2027-04-08"));
  CHECK(has(text, "Cut leaves, lay on the mix [A1/rooting/1/1]: was due on Thu 2027-03-25"));
  CHECK(has(text, "Look for rot [A1/rooting/2/2]: was due on Wed 2027-04-07"));
  CHECK(has(text, "Of 1 round of 1 work nobody noted anything"));
}

TEST_CASE("a sheet to fill in has no rows for what is noted") {
  SamplePlan sample;
  go_on(sample, "2027-03-26");
  sample.book().batches[0].done.push_back({"rooting/1/1", day("2027-03-25"), {}});
  std::ostringstream out;
  CHECK(write_returns(out, sample.plan(), {}) == 4);
  CHECK(lines_of(out.str()).size() == 5);
  CHECK_FALSE(has(out.str(), "A1/rooting/1/1"));
}

TEST_CASE("of a batch that was given up programs read no dates that do not come") {
  SamplePlan sample;
  go_on(sample, "2027-04-02");
  sample.book().batches[0].stopped = book::Placed<calendar::Day>{day("2027-04-01"), {}};
  Filter filter;
  filter.batch = "A1";
  const auto batch = nlohmann::json::parse(sample.orders(Format::json, filter))["batches"][0];
  CHECK(batch["state"] == "given up");
  CHECK(batch["over"] == "2027-04-01");
  CHECK(batch["ready"].is_null());
  CHECK(batch["stages"][0]["start"] == "2027-03-25");
  CHECK(batch["stages"][0]["end"].is_null());
  CHECK(batch["stages"][1]["start"].is_null());
}

TEST_CASE("a crew is short on no day that is over") {
  SamplePlan sample;
  go_on(sample, "2027-03-25");
  book::Crew crew;
  crew.hours = book::WeekHours(60);
  sample.book().site.crews["propagation"] = crew;
  const auto short_days = [&] {
    const plan::Plan made = [&] {
      text::Diagnostics said;
      return plan::make_plan(sample.book(), said);
    }();
    std::size_t out = 0;
    for (const plan::CrewNeed& one : plan::total_needs(made, std::nullopt).crews) {
      out += one.overloads.size();
    }
    return out;
  };
  const std::size_t before = short_days();
  sample.book().today = day("2027-03-26");
  CHECK(before > 0);
  CHECK(short_days() == before - 1);
}
