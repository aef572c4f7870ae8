#include "plan/rooms/load.hpp"

#include <cmath>
#include <map>
#include <random>
#include <set>

#include "../day.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using budwood::tests::day;

namespace {

/// Sown and sprouted in one room, in trays; grown on in another, in plants.
const std::string sprouts = R"(protocol sprouts "Sprouts" {
  part plant
  stage sow of plant {
    lasts 1 day
    room chamber
    space ceil(plants / 100) trays
  }
  stage sprout of plant {
    lasts 4 days
    room chamber
    space ceil(plants / 50) trays
  }
  stage grow of plant {
    lasts 7 days
    room bench
  }
})";

book::Written holds(const std::string& text) {
  book::Written out;
  out.text = text;
  std::string noun;
  if (const auto parsed = units::parse_quantity(text, &noun)) {
    out.quantity = *parsed;
  } else {
    out.quantity.value = std::stod(text);
    out.quantity.unit = units::counting_unit(noun);
    out.quantity.has_unit = true;
  }
  return out;
}

book::Room room(const std::string& limit, int turnover = 0) {
  book::Room out;
  out.holds = holds(limit);
  out.turnover = turnover;
  return out;
}

/// Two batches of 200, the second three days after the first.
Planned two_batches() {
  Planned planned(sprouts);
  planned.site().rooms["chamber"] = room("7 trays", 2);
  planned.site().rooms["bench"] = room("300 plants", 1);
  planned.add("A", 200, "2027-05-07");
  planned.add("B", 200, "2027-05-10");
  return planned;
}

std::string text_of(const Stay& stay) {
  return calendar::iso_date(stay.first) + " " + calendar::iso_date(stay.left) + " " +
         calendar::iso_date(stay.free) + " " + units::format_number(stay.amount) +
         (stay.counted ? "" : " not counted");
}

const RoomLoad& room_of(const Load& load, const std::string& name) {
  for (const RoomLoad& one : load.rooms) {
    if (one.place.room == name) return one;
  }
  FAIL("no room " << name);
  return load.rooms.front();
}

std::string conflicts_told(const Plan& plan) {
  std::string out;
  for (const Conflict& one : plan.conflicts) {
    out += one.batch + " " + one.code + ": " + one.message + "\n";
    for (const auto& fact : one.facts) out += "  " + fact.text + "\n";
    for (const Repair& repair : one.repairs) out += "  > " + repair.text + "\n";
  }
  return out;
}

}  // namespace

TEST_CASE("where a batch stands: on in one room, out of it, and the space cleaned after it") {
  Planned planned = two_batches();
  const std::vector<Stay> stays = stays_of(planned.plan(), 0);
  REQUIRE(stays.size() == 3);
  // The chamber goes from sowing to sprouting without cleaning, the bench is left on delivery.
  CHECK(text_of(stays[0]) == "2027-04-25 2027-04-26 2027-04-26 2");
  CHECK(text_of(stays[1]) == "2027-04-26 2027-04-30 2027-05-02 4");
  CHECK(text_of(stays[2]) == "2027-04-30 2027-05-07 2027-05-08 200");
}

TEST_CASE("the days of a room add up, and where that is too much is told") {
  Planned planned = two_batches();
  const Load load = load_of(planned.plan());
  const RoomLoad& chamber = room_of(load, "chamber");
  CHECK(chamber.first == day("2027-04-25"));
  // By hand: A takes 2, then 4 until 1 May (cleaning on the last two days), B the same from 28
  // April on.
  CHECK(chamber.taken == std::vector<double>{2, 4, 4, 6, 8, 8, 8, 4, 4, 4});
  CHECK(chamber.peak == 8);
  CHECK(chamber.peak_day == day("2027-04-29"));
  REQUIRE(chamber.overloads.size() == 1);
  const RoomOverload& over = chamber.overloads[0];
  CHECK(over.first == day("2027-04-29"));
  CHECK(over.last == day("2027-05-01"));
  CHECK(over.worst == day("2027-04-29"));
  CHECK(over.wanted == 8);
  REQUIRE(over.shares.size() == 2);
  CHECK(over.shares[1].batch == 1);
  CHECK(over.shares[1].amount == 4);
  CHECK(over.batches == std::vector<std::uint32_t>{0, 1});
  CHECK(room_of(load, "bench").overloads.size() == 1);
  CHECK_FALSE(load.fits());
}

TEST_CASE("a plan has a conflict for each run of days on which a room is too full") {
  Planned planned = two_batches();
  CHECK(conflicts_told(planned.plan()) ==
        "B room-full: Room `bench` holds 300 plants, and up to 400 plants are wanted from Mon "
        "2027-05-03 to Fri 2027-05-07, most on Mon 2027-05-03; `grow` of `B` is the last to come.\n"
        "  `grow` of `A` takes 200 plants from Fri 2027-04-30 to Thu 2027-05-06, and the space is "
        "cleaned until Fri 2027-05-07.\n"
        "  `grow` of `B` takes 200 plants from Mon 2027-05-03 to Sun 2027-05-09, and the space is "
        "cleaned until Mon 2027-05-10.\n"
        "  > Have `B` ready 5 days later.\n"
        "  > Have `B` ready 11 days earlier.\n"
        "  > Find room for 100 plants more: `holds: 400 plants` for `bench` in site.yaml.\n"
        "B room-full: Room `chamber` holds 7 trays, and up to 8 trays are wanted from Thu "
        "2027-04-29 to Sat 2027-05-01, most on Thu 2027-04-29; `sprout` of `B` is the last to "
        "come.\n"
        "  `sprout` of `A` takes 4 trays from Mon 2027-04-26 to Thu 2027-04-29, and the space is "
        "cleaned until Sat 2027-05-01.\n"
        "  `sprout` of `B` takes 4 trays from Thu 2027-04-29 to Sun 2027-05-02, and the space is "
        "cleaned until Tue 2027-05-04.\n"
        "  > Have `B` ready 3 days later.\n"
        "  > Have `B` ready 9 days earlier.\n"
        "  > Find room for 1 tray more: `holds: 8 trays` for `chamber` in site.yaml.\n");
  planned.site().rooms["chamber"] = room("8 trays", 2);
  planned.site().rooms["bench"].holds.reset();
  CHECK(planned.plan().conflicts.empty());
}

TEST_CASE("plants that wait for the next stage stand on in their room") {
  Planned planned(R"(protocol p "P" {
    part plant
    stage sow of plant { lasts 1 day  room chamber  do "Sow" on day 1 { crew sowers } }
    stage grow of plant { lasts 4 days  room bench }
    stage pot of plant { lasts 1 day  room shed  do "Pot" on day 1 { crew sowers } }
  })");
  planned.site().rooms["chamber"] = room("500 plants", 3);
  // Potted on Friday, because it cannot be on Sunday; grown from Monday on; sown on the Friday
  // before, because that cannot be on Sunday either.
  planned.add("A", 100, "2027-05-03");
  const std::vector<Stay> stays = stays_of(planned.plan(), 0);
  REQUIRE(stays.size() == 3);
  CHECK(text_of(stays[0]) == "2027-04-23 2027-04-26 2027-04-29 100");
  CHECK(text_of(stays[1]) == "2027-04-26 2027-04-30 2027-04-30 100");
  // Until it is handed over.
  CHECK(text_of(stays[2]) == "2027-04-30 2027-05-03 2027-05-03 100");
}

TEST_CASE("a stage that is over on the day on which it starts takes its room on that day") {
  const std::string graft = R"(protocol p "P" {
    part plant
    stage cut of plant { lasts 2 hours  room shed }
    stage heal of plant { lasts 3 days  room ROOM }
  })";
  for (const bool same : {false, true}) {
    std::string text = graft;
    text.replace(text.find("ROOM"), 4, same ? "shed" : "frame");
    Planned planned(text);
    planned.add("A", 10, "2027-05-07");
    const Load load = load_of(planned.plan());
    CHECK(stays_of(planned.plan(), 0)[0].left == day(same ? "2027-05-04" : "2027-05-05"));
    // The same plants are not counted twice.
    CHECK(room_of(load, "shed").taken == std::vector<double>(same ? 3 : 1, 10));
  }
}

TEST_CASE("partners stand in their own rooms until they are joined") {
  Planned planned(R"(protocol p "P" {
    part scion
    part stock
    part plant
    stage sow_scion of scion { lasts 5 days  room chamber  may wait 10 days }
    stage sow_stock of stock { lasts 9 days  room chamber }
    stage graft joins scion with stock into plant { lasts 1 day  room bench }
  })");
  planned.site().rooms["chamber"] = room("500 plants", 1);
  planned.add("A", 100, "2027-05-07");
  const std::vector<Stay> stays = stays_of(planned.plan(), 0);
  REQUIRE(stays.size() == 3);
  CHECK(stays[0].left == stays[2].first);
  CHECK(stays[1].left == stays[2].first);
  CHECK(stays[1].free == stays[2].first + 1);
  CHECK(stays[1].left - stays[1].first == 9);
}

TEST_CASE("a room is counted in the unit in which it holds something") {
  Planned planned(sprouts);
  planned.add("A", 200, "2027-05-07");
  const auto units = [&] {
    std::string out;
    const RoomPlaces places(planned.plan());
    for (const RoomPlace& place : places.rooms()) {
      out += place.room + " " + place.unit.symbol + (place.holds ? " limited" : "") + "\n";
    }
    return out;
  };
  // All stages in the chamber say trays, that on the bench says nothing.
  CHECK(units() == "bench plants\nchamber trays\n");
  planned.site().rooms["bench"] = room("3 m2");
  planned.site().rooms["spare"] = book::Room();
  CHECK(units() == "bench m2 limited\nchamber trays\nspare plants\n");
  const std::vector<Stay> stays = stays_of(planned.plan(), 0);
  CHECK(text_of(stays[2]) == "2027-04-30 2027-05-07 2027-05-07 0 not counted");
}

TEST_CASE("what a room cannot count is told once for a room and a protocol") {
  Planned planned(sprouts);
  planned.add("A", 200, "2027-05-07");
  planned.add("B", 200, "2027-05-07");
  planned.site().rooms["chamber"] = room("7 crates");
  planned.site().rooms["bench"] = room("3 m2");
  CHECK(planned.problems() ==
        "space-unit `sow` and `sprout` of `sprouts` take trays of room `chamber`, which holds 7 "
        "crates, so nobody can tell how full it is. Say in one unit what a room holds and what "
        "stages take of it.\n"
        "no-space `grow` of `sprouts` does not say how much is taken of room `bench`, which holds "
        "3 m2, so the load of the room leaves it out. Add a line such as `space 60 plants per "
        "m2`.\n");
  CHECK(load_of(planned.plan()).fits());
}

TEST_CASE("a room or crew that is not there is told once, with every protocol that needs it") {
  const std::string one = R"(protocol one "One" {
    part plant
    stage a of plant { lasts 2 days  room shed  do "Sow" { time 1 h crew sowers } }
    stage b of plant { lasts 2 days  room shed  do "Sow on" { time 1 h crew sowers } }
  }
  )";
  std::string two = one;
  two.replace(two.find("one \"One\""), 9, "two \"Two\"");
  Planned planned(one + two);
  planned.add("A", 10, "2027-05-07");
  planned.add("B", 10, "2027-05-07").protocol.value = "two";
  CHECK(planned.problems().empty());  // the site keeps no track of them
  planned.site().rooms["bench"] = {};
  planned.site().crews["potters"] = {};
  CHECK(planned.problems() ==
        "missing-room The site \"Test\" has no room `shed`.\n"
        "missing-crew The site \"Test\" has no crew `sowers`.\n");
  const Load load = load_of(planned.plan());
  CHECK_FALSE(room_of(load, "shed").place.known);
  REQUIRE(load.crews.size() == 1);
  CHECK_FALSE(load.crews[0].known);
  CHECK(load.crews[0].there.empty());
  CHECK(load.fits());
}

TEST_CASE("a crew's days add up against who is there that day") {
  Planned planned(R"(protocol p "P" {
    part plant
    stage pot of plant { lasts 3 days
      do "Water" daily { time 90 min  crew growers }
      do "Look" on day 1 { time 30 min } }
  })");
  book::Crew growers{2, 3600, {}, {}};
  // Mon 3 May, one away.
  growers.leave.push_back({day("2027-05-03"), day("2027-05-03"), 1, {}});
  planned.site().crews["growers"] = growers;
  planned.add("A", 10, "2027-05-06");
  const Load load = load_of(planned.plan());
  REQUIRE(load.crews.size() == 2);
  CHECK(load.crews[0].crew.empty());
  CHECK_FALSE(load.crews[0].known);
  const CrewLoad& crew = load.crews[1];
  CHECK(crew.first == day("2027-05-03"));
  CHECK(crew.wanted == std::vector<double>{5400, 5400, 5400});
  CHECK(crew.there == std::vector<double>{3600, 7200, 7200});
  REQUIRE(crew.overloads.size() == 1);
  CHECK(crew.overloads[0].day == day("2027-05-03"));
  CHECK(crew.overloads[0].seconds == 5400);
  CHECK(crew.overloads[0].there == 3600);
}

TEST_CASE("a crew that has just enough time is not short by the rounding of a rate") {
  Planned planned(R"(protocol p "P" {
    part plant
    stage pot of plant { lasts 1 day  do "Pot" on day 1 { rate 65 per hour  crew growers } }
  })");
  // 117 plants at 65 an hour are 1.8 h, which comes out as a little more than 6480 seconds.
  planned.site().crews["growers"] = book::Crew{1, 6480, {}, {}};
  planned.add("A", 117, "2027-05-06");
  CHECK(load_of(planned.plan()).crews[0].overloads.empty());
  planned.site().crews["growers"].hours = 6479;
  CHECK(load_of(planned.plan()).crews[0].overloads.size() == 1);
}

TEST_CASE("the load of a room is what a count of every day and batch gives") {
  std::mt19937 random(20270503);
  const auto number = [&](int low, int high) {
    return std::uniform_int_distribution<int>(low, high)(random);
  };
  for (int round = 0; round < 60; ++round) {
    Planned planned(sprouts);
    std::map<std::string, int> turnover{{"bench", number(0, 4)}, {"chamber", number(0, 4)}};
    const double trays = number(5, 40);
    planned.site().rooms["chamber"] =
        room(std::to_string(static_cast<int>(trays)) + " trays", turnover["chamber"]);
    planned.site().rooms["bench"] = room("1500 plants", turnover["bench"]);
    const int batches = number(1, 12);
    for (int b = 0; b < batches; ++b) {
      planned.add("B" + std::to_string(b), number(1, 900),
                  calendar::iso_date(day("2027-05-03") + number(0, 40)));
    }
    const Plan& plan = planned.plan();
    const Load load = load_of(plan);
    std::map<std::string, std::map<calendar::Day, double>> counted;
    for (const BatchPlan& batch : plan.batches) {
      const auto value = [&](const std::string& cell) {
        return plan.sheet_of(batch).value(plan.sheet_of(batch).layout().find(cell), batch.row);
      };
      const auto count = [&](const std::string& name, double from, double end, double amount) {
        for (double d = from; d < end; ++d) counted[name][static_cast<calendar::Day>(d)] += amount;
      };
      const double sow = value("sow.start");
      const double sprout = value("sprout.start");
      const double grow = value("grow.start");
      const double plants = value("grow.plants");
      count("chamber", sow, sprout, std::ceil(plants / 100));
      count("chamber", sprout, grow + turnover["chamber"], std::ceil(plants / 50));
      count("bench", grow, value("batch.ready") + turnover["bench"], plants);
    }
    for (auto& [name, days] : counted) {
      const RoomLoad& one = room_of(load, name);
      const double limit = *one.place.holds;
      std::size_t too_full = 0;
      for (calendar::Day d = day("2027-03-01"); d < day("2027-09-01"); ++d) {
        CAPTURE(calendar::iso_date(d));
        CHECK(one.taken_on(d) == days[d]);
        if (days[d] > limit) ++too_full;
      }
      std::size_t told = 0;
      for (const RoomOverload& over : one.overloads) {
        told += static_cast<std::size_t>(over.last - over.first + 1);
        double sum = 0;
        for (const BatchShare& share : over.shares) sum += share.amount;
        CHECK(sum == over.wanted);
        CHECK(days[over.worst] == over.wanted);
        CHECK(days[over.first - 1] <= limit);
        CHECK(days[over.last + 1] <= limit);
        std::set<std::uint32_t> there;
        for (const Stay& stay : one.stays) {
          const bool meets = stay.first <= over.last && stay.free > over.first;
          if (meets && stay.free > stay.first && stay.amount > 0) there.insert(stay.batch);
        }
        CHECK(over.batches == std::vector<std::uint32_t>(there.begin(), there.end()));
      }
      CHECK(told == too_full);
    }
  }
}
