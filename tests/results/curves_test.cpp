#include "results/curves.hpp"

#include "results/replicates.hpp"
#include "seasons.hpp"

using namespace budwood;
using namespace budwood::results;
using namespace budwood::results::test;

namespace {

Curve only(Season& season, CurveOf what) {
  auto all = curves_of(season.asked(), {Of::take, By::batch, ""}, what);
  REQUIRE(all.size() == 1);
  return all.front();
}

}  // namespace

TEST_CASE("survival steps down where plants are lost or found gone") {
  Season season;
  season.batch("A");
  season.grafted("A", 100, "Ana");
  const calendar::Day began = [&] {
    const sheet::Row row = season.plan().row_of(season.plan().batches.front());
    return *row.known_day(row.cells(language::StageId(1)).start);
  }();
  const auto day = [&](int after) { return calendar::iso_date(began + after); };
  season.counted("A", 95, 100, "", day(2));
  record::Entry lost = season.entry(record::What::lost, "A", "healing", day(5));
  lost.number = 10;
  season.note(lost);
  season.counted("A", 80, 100, "", day(8));
  season.counted("A", 82, 100, "", day(9));  // a correction takes nothing back
  const Curve curve = only(season, CurveOf::survival);
  CHECK(curve.plants == 100);
  REQUIRE(curve.steps.size() == 3);
  CHECK(curve.steps[0].time == 2);
  CHECK(curve.steps[0].survival == doctest::Approx(0.95));
  CHECK(curve.steps[1].time == 5);
  CHECK(curve.steps[1].survival == doctest::Approx(0.85));
  CHECK(curve.steps[2].survival == doctest::Approx(0.80));
  CHECK(curve.under_way == 80);
  CHECK(curve.last == 9);
}

TEST_CASE("a stage of which nobody noted the start has begun when it is counted") {
  Season season;
  season.batch("A");
  // The plan would have it begin later.
  for (const auto& [day, up] :
       std::vector<std::pair<const char*, double>>{{"2027-03-01", 20}, {"2027-03-03", 60}}) {
    season.counted("A", up, 100, "", day);
  }
  const Curve curve = only(season, CurveOf::germination);
  REQUIRE(curve.steps.size() == 2);
  CHECK(curve.steps[0].time == 0);
  CHECK(curve.steps[1].time == 2);
}

TEST_CASE("germination steps up, and what has not come up is under way") {
  Season season;
  season.batch("A");
  const calendar::Day began = [&] {
    const sheet::Row row = season.plan().row_of(season.plan().batches.front());
    return *row.known_day(row.cells(language::StageId(1)).start);
  }();
  for (const auto& [after, up] : std::vector<std::pair<int, double>>{{3, 20}, {5, 60}, {9, 85}}) {
    season.counted("A", up, 100, "", calendar::iso_date(began + after));
  }
  const Curve curve = only(season, CurveOf::germination);
  REQUIRE(curve.steps.size() == 3);
  CHECK(1 - curve.steps[1].survival == doctest::Approx(0.6));
  CHECK(1 - curve.steps[2].survival == doctest::Approx(0.85));
  CHECK(curve.under_way == 15);
}

TEST_CASE("a sample says nothing of the others") {
  Season season;
  season.batch("A");
  season.counted("A", 19, 20, "", "2027-05-20");
  const auto all = curves_of(season.asked(), {Of::take, By::batch, ""}, CurveOf::survival);
  // The twenty that were looked at are all that is known.
  REQUIRE(all.size() == 1);
  CHECK(all[0].plants == 20);
}

TEST_CASE("four times a hundred seeds are judged by the table") {
  const auto judged = [](const std::vector<double>& counts) {
    Season season;
    season.batch("A");
    int tray = 0;
    for (const double count : counts) season.counted("A", count, 100, std::to_string(++tray));
    std::vector<LeftOut> left_out;
    return seed_tests(season.asked(), "", left_out);
  };
  // 7 CFR 201.55: both have a mean of 86 %, of which a range of 14 passes and 15 does not.
  const auto wide = judged({81, 90, 94, 79});
  REQUIRE(wide.size() == 1);
  CHECK(wide[0].mean == 86);
  CHECK(wide[0].range == 15);
  CHECK(wide[0].allowed == 14);
  CHECK(wide[0].repeat());
  CHECK(wide[0].differs());  // the protocol has 70 %
  const auto fine = judged({82, 90, 93, 79});
  REQUIRE(fine.size() == 1);
  CHECK(fine[0].range == 14);
  CHECK_FALSE(fine[0].repeat());
  CHECK(judged({81, 90, 94}).empty());
}

TEST_CASE("what is no test of seed is told") {
  Season season;
  season.batch("A");
  season.counted("A", 61, 80);
  std::vector<LeftOut> left_out;
  CHECK(seed_tests(season.asked(), "", left_out).empty());
  REQUIRE(left_out.size() == 1);
  CHECK(left_out[0].message.find("four trays of 100") != std::string::npos);
}
