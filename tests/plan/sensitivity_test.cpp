#include "plan/trials/sensitivity.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "book/batches/batch.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"
#include "sheet/template/cell_names.hpp"

using namespace budwood;
using namespace budwood::plan;
using budwood::plan::test::Planned;

namespace {

/// Willow stools: `take` alone moves the number, `soil` the dates, `speed` the hours.
const char* willow = R"(protocol willow "Willow stools" {
  input speed = 60 per hour from 30 per hour to 120 per hour
  input soil = 15 degC from 10 degC to 20 degC
  input take = 80 % from 50 % to 100 %
  input label_size = 3 cm
  table weeks_to_root (soil degC -> weeks) { 12: 8  20: 4 }
  part rod "Rod"
  stage setting of rod { lasts 1 day do "Set" on day 1 { rate speed crew field } }
  stage rooting of rod { lasts 3 weeks to 9 weeks usually weeks_to_root(soil) loses 1 - take }
  stage lifting of rod { lasts 1 day do "Lift" on day 1 { time 30 s each } }
  require setting.plants <= 3 * batch.plants / 2 else "Too many rods for the bed."
})";

const Tried& tried(const Planned& planned, const Plan& plan, const Sensitivity& found,
                   const std::string& name) {
  static_cast<void>(planned);
  const sheet::Template& t = plan.sheets.front().layout();
  for (const auto* all : {&found.inputs, &found.batch}) {
    for (const Tried& one : *all) {
      if (t.cell(one.cell).name == name) return one;
    }
  }
  FAIL("no such input: " << name);
  return found.inputs.front();
}

Sensitivity ask(const Plan& plan, const std::string& cell) {
  const BatchPlan& batch = plan.batches.front();
  const sheet::CellId id = sheet::find_cell(plan.sheet_of(batch).layout(), cell);
  REQUIRE(id != sheet::no_cell);
  return sensitivity_of(plan, batch, id);
}

}  // namespace

TEST_CASE("the inputs that move a cell most go first") {
  Planned planned(willow);
  planned.add("W1", 200, "2027-06-11");
  const Plan& plan = planned.plan();
  const Sensitivity found = ask(plan, "setting.plants");
  REQUIRE(found.inputs.size() == 3);
  CHECK(found.present == 250);
  CHECK(found.obstacle.empty());
  const Tried& take = found.inputs.front();
  CHECK(plan.sheets.front().layout().cell(take.cell).name == "take");
  CHECK(take.low() == 0.5);
  CHECK(take.high() == 1);
  CHECK(take.trials.front().result == 400);
  CHECK(take.trials.back().result == 200);
  CHECK(take.moves() == 200);
  CHECK(found.inputs[1].moves() == 0);
  // The one without a range is told, not tried.
  REQUIRE(found.without_range.size() == 1);
  CHECK(plan.sheets.front().layout().cell(found.without_range.front()).name == "label_size");
}

TEST_CASE("the range in which the plan holds ends where a requirement does") {
  Planned planned(willow);
  planned.add("W1", 200, "2027-06-11");
  const Plan& plan = planned.plan();
  const Sensitivity found = ask(plan, "setting.plants");
  // 200 / take <= 300, so 66.7 % and more on the grid of 0.1 %: ceil(200 / 0.667) = 300.
  const Tried& take = tried(planned, plan, found, "take");
  REQUIRE(take.feasible.size() == 1);
  CHECK(take.feasible.front().low == doctest::Approx(0.667));
  CHECK(take.feasible.front().high == 1);
  CHECK(take.below == "Too many rods for the bed.");
  CHECK(take.above.empty());
  // Below 12 degC the table has no value.
  const Tried& soil = tried(planned, plan, found, "soil");
  REQUIRE(soil.feasible.size() == 1);
  CHECK(soil.unit.from_base(soil.feasible.front().low) == doctest::Approx(12));
  CHECK(soil.below.find("no value for the length of `rooting`") != std::string::npos);
}

TEST_CASE("dates are tried as well, and move by days") {
  Planned planned(willow);
  planned.add("W1", 200, "2027-06-11");
  const Plan& plan = planned.plan();
  const Sensitivity found = ask(plan, "setting.start");
  const Tried& soil = found.inputs.front();
  CHECK(plan.sheets.front().layout().cell(soil.cell).name == "soil");
  // From 8 weeks to 4; people set rods on working days alone.
  CHECK(soil.moves() == doctest::Approx(28).epsilon(0.1));
  const Tried& ready = tried(planned, plan, found, "batch.ready");
  CHECK(ready.what == Tried::What::date);
  CHECK(ready.trials.size() == 57);
  CHECK(ready.moves() > 50);
}

TEST_CASE("what holds in two stretches is told as two") {
  Planned planned(R"(protocol gap "Gap" {
    input size = 6 cm from 2 cm to 10 cm
    part p
    stage s of p { lasts 1 day }
    require size < 4 cm or size > 5 cm else "No tray fits." })");
  planned.add("G1", 10, "2027-06-11");
  const Sensitivity found = ask(planned.plan(), "s.plants");
  const Tried& size = found.inputs.front();
  REQUIRE(size.feasible.size() == 2);
  CHECK(size.feasible[0].high == doctest::Approx(0.0399));
  CHECK(size.feasible[1].low == doctest::Approx(0.0501));
  CHECK(size.around_present() == &size.feasible[1]);
  CHECK(size.below == "No tray fits.");
}

TEST_CASE("a value at the very beginning of a stretch is in it") {
  Planned planned(R"(protocol gap "Gap" {
    input size = 6 cm from 2 cm to 10 cm
    part p
    stage s of p { lasts 1 day }
    require size < 4 cm or size >= 6 cm else "No tray fits." })");
  planned.add("G1", 10, "2027-06-11");
  const Sensitivity found = ask(planned.plan(), "s.plants");
  const Tried& size = found.inputs.front();
  REQUIRE(size.feasible.size() == 2);
  CHECK(size.around_present() == &size.feasible[1]);
  CHECK(size.below == "No tray fits.");
  CHECK(size.above.empty());
}

TEST_CASE("a batch that cannot be carried out says why, and where it could be") {
  Planned planned(willow);
  planned.add("W1", 200, "2027-06-11").set["take"] = {{}, "55 %", *units::parse_quantity("55 %")};
  const Plan& plan = planned.plan();
  const Sensitivity found = ask(plan, "setting.plants");
  CHECK(found.obstacle == "Too many rods for the bed.");
  const Tried& take = tried(planned, plan, found, "take");
  CHECK(take.present == doctest::Approx(0.55));
  REQUIRE(take.around_present() != nullptr);
  CHECK(take.around_present()->low == doctest::Approx(0.667));
  CHECK(tried(planned, plan, found, "speed").feasible.empty());
}

TEST_CASE("every trial is what planning the batch afresh with that value gives") {
  for (const char* cell : {"setting.plants", "batch.hours", "setting.start", "rooting.end"}) {
    CAPTURE(cell);
    Planned planned(willow);
    planned.add("W1", 200, "2027-06-11").sure = book::Placed<double>{0.9, {}};
    const Plan& plan = planned.plan();
    const Sensitivity found = ask(plan, cell);
    const sheet::Template& t = plan.sheets.front().layout();
    double before = std::numeric_limits<double>::infinity();
    for (const Tried& one : found.inputs) {
      CHECK(one.moves() <= before);
      before = one.moves();
      double smallest = std::numeric_limits<double>::infinity();
      double largest = -smallest;
      for (std::size_t i = 0; i < one.trials.size(); i += 5) {
        const double value = one.unit.from_base(one.trials[i].value);
        units::Parsed quantity{value, one.unit, true};
        Planned afresh(willow);
        book::Batch& batch = afresh.add("W1", 200, "2027-06-11");
        batch.sure = book::Placed<double>{0.9, {}};
        batch.set[t.cell(one.cell).name] = {{}, "", quantity};
        const Plan& again = afresh.plan();
        REQUIRE(again.batches.size() == 1);
        const double result = again.sheets.front().value(found.cell, 0);
        CAPTURE(t.cell(one.cell).name);
        CAPTURE(value);
        if (std::isnan(result)) {
          CHECK(std::isnan(one.trials[i].result));
        } else {
          CHECK(one.trials[i].result == doctest::Approx(result));
        }
        CHECK(one.trials[i].feasible == again.conflicts.empty());
      }
      for (const Tried::Trial& trial : one.trials) {
        if (std::isnan(trial.result)) continue;
        smallest = std::min(smallest, trial.result);
        largest = std::max(largest, trial.result);
      }
      CHECK(one.moves() == largest - smallest);
    }
  }
}
