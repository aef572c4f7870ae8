#include "../day.hpp"
#include "plan/level/level.hpp"
#include "plan/orders/order.hpp"
#include "plan/rooms/load.hpp"
#include "planned.hpp"

/// Space in m2: footprints, spacing, benches, and what is left out.
namespace {

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using budwood::tests::day;

constexpr double square_foot = 0.3048 * 0.3048;

book::Room room_of_m2(double m2) {
  book::Room out;
  out.holds.emplace();
  out.holds->quantity = *units::parse_quantity("1 m2");
  out.holds->quantity.value = m2;
  return out;
}

std::string spaced(const std::string& space, const std::string& more = "") {
  return R"(protocol pots "Pots" {
    supply tray "Tray" in trays footprint 30 cm by 50 cm
    supply pot "Pot" in pots footprint 10 cm by 10 cm
    part plant
    stage grow of plant { lasts 28 days  room bench  space )" +
         space + "\n" + more + R"( }
  })";
}

/// What a batch takes of the only room on its first day.
double taken(const std::string& space, int plants, const std::string& more = "") {
  Planned planned(spaced(space, more));
  planned.site().rooms["bench"] = room_of_m2(1000);
  planned.add("A", plants, "2027-05-31");
  const Load load = load_of(planned.plan());
  return load.rooms.front().taken.at(0);
}

const WorkOrder* find_order(const Plan& plan, const std::string& title) {
  for (const WorkOrder& one : plan.orders) {
    const auto& stage = plan.protocol_of(plan.batches[one.batch]).stages[one.stage];
    if (stage.works[one.work].title == title) return &one;
  }
  return nullptr;
}

}  // namespace

// Pots in 100 square feet, square and diagonal, at 6, 10 and 14 inches from centre to centre: GPN
// Magazine, Grower 101: Calculations, part IV, Spacing Containers, figure 1. Diagonal rows are
// sqrt(3) / 2 of the distance apart.
TEST_CASE("pots take up the area of the published table of spacings") {
  CHECK(taken("15.24 cm by 15.24 cm", 400) == doctest::Approx(100 * square_foot));
  CHECK(taken("25.4 cm by 25.4 cm", 144) == doctest::Approx(100 * square_foot));
  CHECK(taken("15.24 cm by sqrt(3) / 2 * 15.24 cm", 462) / square_foot ==
        doctest::Approx(100).epsilon(0.002));
  CHECK(taken("35.56 cm by sqrt(3) / 2 * 35.56 cm", 85) / square_foot ==
        doctest::Approx(100).epsilon(0.005));
  // One pot of these takes 170 square inches.
  CHECK(taken("35.56 cm by sqrt(3) / 2 * 35.56 cm", 1) / square_foot * 144 ==
        doctest::Approx(170).epsilon(0.002));
}

TEST_CASE("density, a footprint and an area are one measure") {
  CHECK(taken("60 plants per m2", 300) == doctest::Approx(5));
  CHECK(taken("4 per ft2", 400) == doctest::Approx(100 * square_foot));
  CHECK(taken("ceil(plants / 72) trays", 300) == doctest::Approx(5 * 0.15));
  CHECK(taken("ceil(plants / 72) tray", 300) == doctest::Approx(5 * 0.15));
  CHECK(taken("plants * 0.02 m2", 300) == doctest::Approx(6));
  CHECK(taken("pot", 300, "do \"Pot\" { time 1 h  use 1 pot each }") == doctest::Approx(3));
  CHECK(taken("tray", 300, "do \"Sow\" { time 1 h  use 1 tray per 72 }") ==
        doctest::Approx(5 * 0.15));
}

TEST_CASE("benches of so many m2 are counted in m2, and stages may say benches") {
  Planned planned(spaced("2 benches until day 14, 50 per m2"));
  book::Room room = room_of_m2(72);
  room.vessels = book::Room::Vessels{6, "benches"};
  planned.site().rooms["bench"] = room;
  planned.add("A", 300, "2027-05-31");
  const Load load = load_of(planned.plan());
  CHECK(load.rooms.front().taken.at(0) == doctest::Approx(24));
  CHECK(load.rooms.front().taken.at(14) == doctest::Approx(6));
}

TEST_CASE("the load follows the spacing day by day, and the day of spacing is an order") {
  Planned planned(spaced("60 per m2 from day 1, 30 per m2 from day 11, 15 per m2 from day 21"));
  planned.site().rooms["bench"] = room_of_m2(20);
  planned.site().rooms["bench"].turnover = 2;
  planned.add("A", 300, "2027-05-31");
  const Plan& plan = planned.plan();
  const Load load = load_of(plan);
  const RoomLoad& bench = load.rooms.front();
  CHECK(bench.first == day("2027-05-03"));
  std::vector<double> by_hand;
  for (int i = 0; i < 30; ++i) by_hand.push_back(i < 10 ? 5 : i < 20 ? 10 : 20);
  CHECK(bench.taken == by_hand);
  CHECK(bench.overloads.empty());
  REQUIRE(bench.stays.size() == 3);
  CHECK(bench.stays[0].free == bench.stays[1].first);
  CHECK(bench.stays[2].free == bench.stays[2].left + 2);

  const WorkOrder* order = find_order(plan, "Space to 30 per m2");
  REQUIRE(order != nullptr);
  CHECK(order->date == day("2027-05-13"));
  // 500 an hour: common practice.
  CHECK(person_seconds(plan, *order) == doctest::Approx(300.0 / 500 * 3600));
  CHECK(find_order(plan, "Space to 15 per m2")->date ==
        day("2027-05-23"));  // nobody is named: a Sunday
}

TEST_CASE("plants that go on before they would be spaced are not") {
  Planned planned(R"(protocol pots "Pots" {
    input days_here = 10 days from 5 days to 40 days
    part plant
    stage grow of plant { lasts 5 to 40 days usually days_here  room bench
      space 60 per m2 from day 1, 30 per m2 from day 11 }
    stage sell of plant { lasts 1 day  room shed }
  })");
  planned.site().rooms["bench"] = room_of_m2(20);
  planned.add("A", 300, "2027-05-31");
  CHECK(load_of(planned.plan()).rooms.front().taken == std::vector<double>(10, 5));
  CHECK(find_order(planned.plan(), "Space to 30 per m2") == nullptr);
}

TEST_CASE("a room that spacing makes too full is a conflict on those days") {
  Planned planned(spaced("60 per m2 from day 1, 30 per m2 from day 11"));
  planned.site().rooms["bench"] = room_of_m2(18);
  planned.add("A", 300, "2027-05-31");
  planned.add("B", 300, "2027-06-07");
  const Plan& plan = planned.plan();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts[0].code == "room-full");
  // A is at 10 m2 from 13 to 30 May, B from 20 May on.
  CHECK(
      plan.conflicts[0].message ==
      "Room `bench` holds 18 m2, and up to 20 m2 are wanted from Thu 2027-05-20 to Sun 2027-05-30, "
      "most on Thu 2027-05-20; `grow` of `B` is the last to come.");
  CHECK(plan.conflicts[0].repairs.front().text == "Have `B` ready 11 days later.");
}

TEST_CASE("levelling moves what spacing makes too full, by the same measure") {
  for (const char* space : {"60 per m2 from day 1, 30 per m2 from day 11",
                            "30 per m2 from day 1, 60 per m2 from day 11",
                            "60 per m2 from day 1, 30 per m2 from day 8, 90 per m2 from day 15, "
                            "40 per m2 from day 22"}) {
    Planned planned(spaced(space));
    planned.site().rooms["bench"] = room_of_m2(16);
    for (const char* id : {"A", "B"}) {
      book::Batch& batch = planned.add(id, 300, "2027-06-01");
      batch.early = book::Placed<int>{30, {}};
      batch.late = book::Placed<int>{30, {}};
    }
    CHECK_FALSE(load_of(planned.plan()).fits());
    const Levelling levelling = level(planned.plan(), {});
    INFO(space);
    CHECK(levelling.unresolved.empty());
    text::Diagnostics unheard;
    CHECK(load_of(make_plan(levelling.book, unheard)).fits());
  }
}

TEST_CASE("a room without a limit is counted in m2 where all of its stages can be") {
  Planned planned(
      spaced("tray until day 7, 60 per m2", "do \"Sow\" { time 1 h  use 1 tray per 72 }"));
  planned.site().rooms["bench"] = book::Room();
  planned.add("A", 300, "2027-05-31");
  const Load load = load_of(planned.plan());
  CHECK(load.rooms.front().place.unit.symbol == "m2");
  CHECK(load.rooms.front().taken.at(0) == doctest::Approx(0.75));
  CHECK_FALSE(load.rooms.front().place.judged());
  planned.site().rooms["bench"].unlimited = true;
  CHECK(load_of(planned.plan()).rooms.front().place.judged());
}

TEST_CASE("trays without a footprint are told in a room of m2") {
  Planned planned(spaced("4 crates"));
  planned.site().rooms["bench"] = room_of_m2(20);
  planned.add("A", 300, "2027-05-31");
  text::Diagnostics found;
  check_places(planned.plan(), found);
  REQUIRE(found.sorted().size() == 1);
  CHECK(found.sorted()[0].code == "space-unit");
  CHECK(found.sorted()[0].advice ==
        "Say what one of the crates takes up, where the supply is declared: `footprint 28 cm by 54 "
        "cm`.");
  CHECK_FALSE(load_of(planned.plan()).rooms.front().stays.front().counted);
}

TEST_CASE("two trays of different size have to be told apart") {
  const std::string text = R"(protocol p "P" {
    supply small "Small" in trays footprint 0.1 m2
    supply large "Large" in trays footprint 0.2 m2
    part plant
    stage grow of plant { lasts 9 days  room bench  space 10 SAID }
  })";
  const auto first_day = [&](const std::string& said) {
    std::string written = text;
    written.replace(written.find("SAID"), 4, said);
    Planned planned(written);
    planned.site().rooms["bench"] = room_of_m2(20);
    planned.add("A", 300, "2027-05-31");
    const Stay stay = load_of(planned.plan()).rooms.front().stays.front();
    return stay.counted ? stay.amount : -1;
  };
  CHECK(first_day("trays") == -1);
  CHECK(first_day("small") == doctest::Approx(1));
  CHECK(first_day("large") == doctest::Approx(2));
}

TEST_CASE("work by the m2 goes by those of its day") {
  Planned planned(spaced("60 per m2 from day 1, 30 per m2 from day 11",
                         "do \"Water\" on day 2 { time 60 s per m2 }\n"
                         "do \"Water more\" on day 12 { time 60 s per m2 }"));
  planned.add("A", 300, "2027-05-31");
  const Plan& plan = planned.plan();
  CHECK(person_seconds(plan, *find_order(plan, "Water")) == doctest::Approx(300));
  CHECK(person_seconds(plan, *find_order(plan, "Water more")) == doctest::Approx(600));
}
