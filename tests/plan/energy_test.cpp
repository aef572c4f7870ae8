#include "plan/needs/energy.hpp"

#include <string>

#include "../day.hpp"
#include "plan/needs/costs.hpp"
#include "plan/rooms/load.hpp"
#include "plan/trials/what_if.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

constexpr double kwh = 3.6e6;
constexpr double zero = 273.15;

/// Ten days in a house of 100 m2 that loses 500 W/K, at 4 degC outdoors.
struct Heated : Planned {
  explicit Heated(const std::string& settings)
      : Planned(
            "protocol p { part plant  stage grow of plant { lasts 10 days  room house\n"
            "space 50 plants per m2\n" +
            settings + " } }") {
    add("A", 1000, "2027-02-12");
    book::Room& room = site().rooms["house"];
    room.heat_loss = book::Placed<double>{500, {}};
    room.area = 100;
    outdoors(4, 4);
  }
  void outdoors(double minimum, double maximum) {
    std::vector<climate::SeriesRow> rows;
    for (calendar::Day day = tests::day("2027-01-01"); rows.size() < 90; ++day) {
      rows.push_back({day, {zero + minimum, zero + maximum}});
    }
    site().climate =
        std::make_shared<const climate::DailySeries>(*climate::DailySeries::from_rows(rows));
  }
  book::Room& room() { return site().rooms["house"]; }
  double heat() { return energy_of(plan()).total().heat / kwh; }
  Costs costs() {
    const Plan& now = plan();
    return batch_costs(now, total_needs(now));
  }
};

}  // namespace

TEST_CASE("heat is the loss of the room times the degrees that it is warmer than outdoors") {
  Heated house("keep air 16 degC");
  // 500 W/K x 12 K x 24 h = 144 kWh a day; on 10 days.
  CHECK(house.heat() == doctest::Approx(1440));
  Heated night("keep air 18 degC by day  keep air 14 degC by night");
  CHECK(night.heat() == doctest::Approx(1440));
  Heated frost_free("keep air at least 6 degC");
  CHECK(frost_free.heat() == doctest::Approx(240));
  CHECK(Heated("keep air at most 16 degC").heat() == 0);
  house.outdoors(20, 24);
  CHECK(house.heat() == 0);
}

TEST_CASE("a zone has its share of the room") {
  Heated house("keep air 16 degC");
  house.room().zones = 4;
  CHECK(house.heat() == doctest::Approx(360));
}

TEST_CASE("lamps take what they give by their efficacy, over the whole floor") {
  Heated house("keep light 80 umol/m2/s for 10 h");
  house.room().can = book::Abilities{true, true, true, true, false, 80e-6, {}};
  house.room().lets_in = book::Placed<double>{0, {}};
  house.room().lamps = book::Room::Lamps{2e-6, {}, {}};
  // 80 / 2 = 40 W/m2 over 100 m2, 10 h on 10 days.
  const PlanEnergy energy = energy_of(house.plan());
  CHECK(energy.total().lamps / kwh == doctest::Approx(400));
  REQUIRE(energy.rooms.size() == 1);
  CHECK(energy.rooms[0].lamp_seconds == doctest::Approx(100 * 3600));
  house.room().area.reset();
  CHECK(energy_of(house.plan()).total().lamps == 0);
}

TEST_CASE("what stands there shares it by the space that it takes") {
  Heated house("keep air 16 degC");
  house.add("B", 3000, "2027-02-12");
  const PlanEnergy energy = energy_of(house.plan());
  REQUIRE(energy.stages.size() == 2);
  CHECK(energy.stages[0].use.heat / kwh == doctest::Approx(360));
  CHECK(energy.stages[1].use.heat / kwh == doctest::Approx(1080));
}

TEST_CASE("energy is among the costs of a batch and in the price of a plant") {
  Heated house("keep air 16 degC");
  CHECK(house.costs().unpriced_energy == std::vector<std::string>{"heat"});
  CHECK_FALSE(house.costs().complete());
  house.site().energy.heat = 0.10 / kwh;
  const Costs costs = house.costs();
  CHECK(costs.complete());
  CHECK(costs.energy == doctest::Approx(144));
  REQUIRE(costs.batches.size() == 1);
  CHECK(costs.batches[0].a_plant == doctest::Approx(0.144));
  CHECK(costs.batches[0].stages.front().energy == doctest::Approx(144));
}

TEST_CASE("rooms of which nothing is told cost nothing") {
  Heated house("keep air 16 degC");
  house.room().heat_loss.reset();
  CHECK(energy_of(house.plan()).rooms.empty());
  CHECK(house.costs().complete());
}

TEST_CASE("what keeps the energy of a room from being told is named") {
  const auto told = [](Heated& house) {
    text::Diagnostics found;
    check_provisions(protocols_in_use(house.plan()), house.site(), found);
    std::string out;
    for (const text::Diagnostic& one : found.sorted()) out += one.code + " " + one.message + "\n";
    return out;
  };
  Heated house("keep air 16 degC");
  CHECK(told(house).empty());
  house.room().lamps = book::Room::Lamps{2e-6, {}, {}};
  CHECK(told(house).find("no-lamps How strong the lamps of `house` are is not said") !=
        std::string::npos);
  house.room().can = book::Abilities{true, true, true, true, false, 80e-6, {}};
  CHECK(told(house).empty());
  house.room().area.reset();
  CHECK(told(house).find("no-lamps How large the floor of `house` is") != std::string::npos);
  house.site().climate.reset();
  CHECK(told(house).find("no-climate `house` says what it loses") != std::string::npos);
}
