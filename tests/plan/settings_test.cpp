#include "plan/orders/settings.hpp"
#include "plan/plan.hpp"
#include "plan/settings/stage_settings.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

TEST_CASE("a taper has its first value on its first day and its last on its last") {
  Planned planned(layering);
  planned.add("A", 100, "2027-06-11");
  const Plan& plan = planned.plan();
  const BatchPlan& batch = plan.batches.front();
  constexpr StageId rooting(1);
  const auto humidity_on_day = [&](int day) {
    const sheet::Row row = plan.row_of(batch);
    const auto settings = StageSettings(planned.book().site, row, rooting).asked(day - 1);
    return settings.empty() ? std::string("-") : describe(settings.front());
  };
  CHECK(humidity_on_day(1) == "humidity 95 %");
  CHECK(humidity_on_day(3) == "humidity 95 %");
  CHECK(humidity_on_day(4) == "humidity 95 %");
  CHECK(humidity_on_day(9) == "humidity 85 %");
  CHECK(humidity_on_day(14) == "humidity 75 %");
  CHECK(humidity_on_day(15) == "-");
}

TEST_CASE("spans join the days on which a setting stays the same") {
  Planned planned(layering);
  planned.add("A", 100, "2027-06-11");
  const Plan& plan = planned.plan();
  const auto spans = setting_spans(plan, 0, StageId(1));
  // 95 % for four days and more, 90, 85, 80 and 75 %.
  REQUIRE(spans.size() == 5);
  CHECK(spans.front().setting.value() == "95 %");
  CHECK(spans.front().to - spans.front().from >= 3);
  CHECK(spans.back().setting.value() == "75 %");
  for (std::size_t i = 1; i < spans.size(); ++i) CHECK(spans[i].from == spans[i - 1].to + 1);
}

TEST_CASE("of two settings of one value on a day the later statement counts, by halves too") {
  Planned planned(R"(protocol p { part plant
    stage grow of plant { lasts 4 days  keep air 20 degC  keep air 15 degC by night
      keep air 24 degC on day 2  mist 20 s every 45 min
      taper mist every 45 min to 90 min from day 2 to last day } })");
  planned.add("A", 10, "2027-06-11");
  const Plan& plan = planned.plan();
  const BatchPlan& batch = plan.batches.front();
  const auto on_day = [&](int day) {
    std::string out;
    const sheet::Row row = plan.row_of(batch);
    for (const DaySetting& s : StageSettings(planned.book().site, row, StageId(0)).asked(day - 1)) {
      out += describe(s) + "; ";
    }
    return out;
  };
  CHECK(on_day(1) ==
        "air by day 20 degC; air by night 15 degC; mist 20 s every 45 min, day and night; ");
  CHECK(on_day(2) == "air 24 degC; mist 20 s every 45 min, day and night; ");
  CHECK(on_day(4) ==
        "air by day 20 degC; air by night 15 degC; mist 20 s every 90 min, day and night; ");
}
