#include <algorithm>

#include "book/batches/batch.hpp"
#include "language/model.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/room_climate.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using language::Measure;

namespace {

/// Rooted under glass for 10 days at the batch's own temperature and humidity.
const char* const palms = R"(protocol palms { part plant
  input warm = 24 degC from 5 degC to 40 degC
  input damp = 80 % from 10 % to 100 %
  stage rooting of plant { lasts 10 days  room glass  keep air warm  keep humidity damp }
  })";

/// A book of these batches: id, day on which it is ready, its own air and humidity.
struct Palms : Planned {
  explicit Palms(const std::string& protocol = palms) : Planned(protocol) {}
  void grow(const std::string& id, const std::string& ready, const std::string& warm,
            const std::string& damp = "80 %") {
    book::Batch& batch = add(id, 10, ready);
    batch.set["warm"] = quantity(warm);
    batch.set["damp"] = quantity(damp);
  }
  /// A copy of the plan with what is to be said of its rooms.
  Plan checked() {
    Plan out = plan();
    out.conflicts.clear();
    check_rooms(out);
    return out;
  }
  /// "later/earlier" for each conflict.
  std::string messages() {
    std::string out;
    for (const Conflict& conflict : checked().conflicts) {
      CHECK(conflict.code == "room-climate");
      out += conflict.batch + ": " + conflict.message + "\n";
    }
    return out;
  }
};

}  // namespace

TEST_CASE("two batches that want different climates in a room at one time") {
  Palms book;
  book.grow("A", "2027-06-11", "24 degC", "80 %");  // from Tue 06-01 to Thu 06-10
  book.grow("B", "2027-06-16", "18 degC", "91 %");  // from Sun 06-06
  CHECK(
      book.messages() ==
      "B: `rooting` of `B` and `rooting` of `A` stand in room `glass` together and want different "
      "climates from Sun 2027-06-06 to Thu 2027-06-10: air 18 degC against 24 degC (tolerance 2 "
      "degC); humidity 91 % against 80 % (tolerance 5 %).\n");
  const Conflict conflict = book.checked().conflicts.at(0);
  REQUIRE(conflict.facts.size() == 2);
  CHECK(conflict.facts[0].text ==
        "`rooting` of `B` stands there from Sun 2027-06-06 to Tue 2027-06-15.");
  CHECK(conflict.facts[1].text ==
        "`rooting` of `A` stands there from Tue 2027-06-01 to Thu 2027-06-10.");
  REQUIRE(conflict.repairs.size() == 4);
  CHECK(conflict.repairs[0].text ==
        "Have `B` ready 5 days later, so that it comes when `A` has left.");
  CHECK(conflict.repairs[3].text ==
        "Where the plants bear it: `tolerance: {air: 6 degC, humidity: 11 %}` for `glass` in "
        "site.yaml.");
}

TEST_CASE("each repair removes the conflict") {
  Palms moved;
  moved.grow("A", "2027-06-11", "24 degC");
  moved.grow("B", "2027-06-21", "18 degC");  // 10 days after A, which has left
  CHECK(moved.messages().empty());
  Palms zones;
  zones.grow("A", "2027-06-11", "24 degC");
  zones.grow("B", "2027-06-16", "18 degC");
  zones.site().rooms["glass"].zones = 2;
  CHECK(zones.messages().empty());
  Palms tolerant;
  tolerant.grow("A", "2027-06-11", "24 degC");
  tolerant.grow("B", "2027-06-16", "18 degC");
  tolerant.site().rooms["glass"].tolerance[Measure::air].value = 6;
  CHECK(tolerant.messages().empty());
}

TEST_CASE("what is within the tolerance agrees: the room's, else the site's, else the usual") {
  Palms book;
  book.grow("A", "2027-06-11", "24 degC");
  book.grow("B", "2027-06-16", "22 degC");
  CHECK(book.messages().empty());
  book.site().tolerance[Measure::air].value = 1.5;
  CHECK(book.messages().find("(tolerance 1.5 degC)") != std::string::npos);
  book.site().rooms["glass"].tolerance[Measure::air].value = 3;
  CHECK(book.messages().empty());
  book.site().rooms["glass"].tolerance[Measure::air].value = 0;
  CHECK(book.messages().find("(tolerance 0 degC)") != std::string::npos);
}

TEST_CASE("with zones, batches go where they fit, in the order in which they come") {
  Palms book;
  book.site().rooms["glass"].zones = 2;
  book.grow("A", "2027-06-11", "30 degC");
  book.grow("B", "2027-06-16", "20 degC");
  book.grow("C", "2027-06-17", "29 degC");
  book.grow("D", "2027-06-18", "21 degC");
  CHECK(book.messages().empty());
  // It meets A on five days and B on ten, so A's zone is the better one; C comes on the day after.
  book.grow("E", "2027-06-16", "25 degC");
  const Plan plan = book.checked();
  REQUIRE(plan.conflicts.size() == 2);
  CHECK(plan.conflicts[0].batch == "E");
  CHECK(plan.conflicts[0].message.find("`rooting` of `A`") != std::string::npos);
  CHECK(plan.conflicts[0].repairs[2].text.find("`zones: 3`") != std::string::npos);
  book.site().rooms["glass"].zones = 3;
  CHECK(book.messages().empty());
  // C would have gone to A's zone, where E stands now.
  CHECK(plan.conflicts[1].batch == "C");
  CHECK(plan.conflicts[1].message.find("`rooting` of `E`") != std::string::npos);
}

TEST_CASE("one conflict for a batch that is at odds with several, and all are named") {
  Palms book;
  book.grow("A", "2027-06-11", "24 degC");
  book.grow("B", "2027-06-14", "25 degC");
  book.grow("C", "2027-06-16", "15 degC");
  const Plan plan = book.checked();
  REQUIRE(plan.conflicts.size() == 1);
  // It meets B for eight days, A for five.
  CHECK(plan.conflicts[0].message.find("`rooting` of `C` and `rooting` of `B`") == 0);
  REQUIRE(plan.conflicts[0].facts.size() == 3);
  CHECK(plan.conflicts[0].facts[2].text ==
        "`rooting` of `A` differs from it too, from Sun 2027-06-06 to Thu 2027-06-10.");
}

TEST_CASE("of those that differ on as many days the one that differs in more is named first") {
  Palms book;
  book.grow("A", "2027-06-11", "24 degC", "80 %");
  book.grow("B", "2027-06-11", "24 degC", "84 %");
  book.grow("C", "2027-06-16", "15 degC", "78 %");
  const Plan plan = book.checked();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts[0].message.find("`rooting` of `C` and `rooting` of `B`") == 0);
}

TEST_CASE("batches that come together with one climate are named as one") {
  Palms book;
  book.grow("A", "2027-06-11", "24 degC");
  book.grow("B", "2027-06-11", "24 degC");
  book.grow("C", "2027-06-16", "15 degC");
  const Plan plan = book.checked();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts[0].facts.at(1).text ==
        "`rooting` of `A` stands there from Tue 2027-06-01 to Thu 2027-06-10, 1 more batch with "
        "it.");
}

TEST_CASE("only the days on which they differ, with the values of the worst") {
  Palms book(R"(protocol palms { part plant
    input warm = 24 degC from 5 degC to 40 degC
    input damp = 80 % from 10 % to 100 %
    stage rooting of plant { lasts 11 days  room glass  keep air warm  taper humidity damp to 60 % }
    })");
  book.grow("A", "2027-06-11", "24 degC", "90 %");  // 90, 87, ..., 60 % from 05-31 to 06-10
  book.grow("B", "2027-06-14", "24 degC", "90 %");  // three days behind, 9 % more on each day
  CHECK(book.messages().find("from Thu 2027-06-03 to Thu 2027-06-10: humidity 90 % against 81 % on "
                             "Thu 2027-06-03 (tolerance 5 %).") != std::string::npos);
  // One day apart they differ by 3 %.
  Palms close(R"(protocol palms { part plant
    input warm = 24 degC from 5 degC to 40 degC
    input damp = 80 % from 10 % to 100 %
    stage rooting of plant { lasts 11 days  room glass  keep air warm  taper humidity damp to 60 % }
    })");
  close.grow("A", "2027-06-15", "24 degC", "90 %");
  close.grow("B", "2027-06-16", "24 degC", "90 %");
  CHECK(close.messages().empty());
}

TEST_CASE("halves of the day, ranges and bounds") {
  const auto said = [](const std::string& first, const std::string& second) {
    Planned planned(
        "protocol p { part plant\n input one = 1 from 0 to 1\n"
        "stage a of plant { lasts 3 days  room glass  " +
        first +
        " }\n"
        "stage b of plant { lasts 3 days  room other }\n"
        "stage c of plant { lasts 3 days  room glass  " +
        second +
        " }\n"
        "require one >= 0 else \"?\" }");
    planned.site().working = calendar::WorkingDays();  // plants change rooms on any day
    // The second batch comes six days after the first: its `a` stands beside the first one's `c`.
    planned.add("A", 5, "2027-06-10");
    planned.add("B", 5, "2027-06-16");
    Plan plan = planned.plan();
    plan.conflicts.clear();
    check_rooms(plan);
    REQUIRE(plan.conflicts.size() <= 1);
    if (plan.conflicts.empty()) return std::string();
    const std::string& message = plan.conflicts[0].message;
    return message.substr(message.find(": ") + 2);
  };
  CHECK(said("keep air 24 degC by day", "keep air 12 degC by night").empty());
  CHECK(said("keep air 24 degC by day  keep air 15 degC by night",
             "keep air 24 degC by day  keep air 10 degC by night") ==
        "air by night 15 degC against 10 degC (tolerance 2 degC).");
  CHECK(said("keep air 24 degC by day  keep air 15 degC by night", "keep air 20 degC") ==
        "air by day 24 degC against 20 degC (tolerance 2 degC); air by night 15 degC against 20 "
        "degC (tolerance 2 degC).");
  CHECK(said("keep air 25 to 30 degC", "keep air 20 to 23 degC").empty());
  CHECK(said("keep air 25 to 30 degC", "keep air 20 to 22 degC") ==
        "air 25 to 30 degC against 20 to 22 degC (tolerance 2 degC).");
  CHECK(said("keep humidity at least 80 %", "keep humidity 97 %").empty());
  CHECK(said("keep humidity at least 80 %", "keep humidity at most 60 %") ==
        "humidity at least 80 % against at most 60 % (tolerance 5 %).");
  CHECK(said("keep humidity 90 %", "keep air 24 degC").empty());
  CHECK(said("keep light 80 umol/m2/s for 16 h", "keep light 80 umol/m2/s for 12 h") ==
        "photoperiod 16 h against 12 h (tolerance 1 h).");
  // 32 pulses of 20 s are 640 s; 24 of 10 s are 240 s.
  CHECK(said("mist 20 s every 45 min", "mist 10 s every 60 min") ==
        "mist time 640 s against 240 s (tolerance 60 s).");
  CHECK(said("mist 20 s every 45 min", "keep air 20 degC").empty());
  // Water by light goes by a day of 10 mol/m2: 3.3 L/m2 against 1.7, 2 against 2, 4 against 2.
  CHECK(said("irrigate 1 L/m2 at 3 mol of light", "irrigate 1 L/m2 at 6 mol of light") ==
        "irrigation 1 L/m2 at each 3 mol/m2 of light against 1 L/m2 at each 6 mol/m2 of light "
        "(tolerance 1 L/m2/day).");
  CHECK(said("irrigate 1 L/m2 at 5 mol of light", "keep irrigation 2 L/m2/day").empty());
  CHECK(said("irrigate 2 L/m2 at 5 mol of light", "keep irrigation 2 L/m2/day") ==
        "irrigation 2 L/m2 at each 5 mol/m2 of light against 2 L/m2/day (tolerance 1 L/m2/day).");
  for (const char* unlike :
       {"keep leaf 24 degC|keep leaf 19 degC", "keep root_zone 24 degC|keep root_zone 19 degC",
        "keep vpd 0.4 kPa|keep vpd 1 kPa", "keep photoperiod 16 h|keep photoperiod 12 h",
        "keep shade 70 %|keep shade 30 %", "keep co2 900 ppm|keep co2 400 ppm",
        "keep irrigation 3 L/m2/day|keep irrigation 6 L/m2/day"}) {
    const std::string pair = unlike;
    const std::size_t bar = pair.find('|');
    CAPTURE(pair);
    CHECK_FALSE(said(pair.substr(0, bar), pair.substr(bar + 1)).empty());
    CHECK(said(pair.substr(0, bar), pair.substr(0, bar)).empty());
  }
}

TEST_CASE("stages of one batch in one room are held against each other too") {
  Planned planned(R"(protocol p { part bud part root part plant
    stage a of bud { lasts 3 days  room glass  keep air 24 degC }
    stage b of root { lasts 3 days  room glass  keep air 12 degC }
    stage c joins bud with root into plant { lasts 1 day } })");
  planned.add("A", 5, "2027-06-10");
  Plan plan = planned.plan();
  plan.conflicts.clear();
  check_rooms(plan);
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts[0].message.find("`b` of `A` and `a` of `A`") == 0);
  for (const Repair& repair : plan.conflicts[0].repairs) {
    CHECK(repair.text.find("Move") == std::string::npos);
  }
}

namespace {

struct PalmStay {
  std::string id;
  int start = 0;
  int warm = 0;
};

/// The same by its definition, pair by pair: with one zone, a batch is at odds when one that came
/// before it wants another temperature on a day that both stand there. Those that come on one day
/// with one temperature are one.
std::vector<std::string> at_odds_by_hand(const std::vector<PalmStay>& stays, int days,
                                         int tolerance) {
  const auto first_like = [&](std::size_t i) {
    return std::find_if(stays.begin(), stays.end(), [&](const PalmStay& one) {
      return one.start == stays[i].start && one.warm == stays[i].warm;
    });
  };
  std::vector<std::string> out;
  for (std::size_t i = 0; i < stays.size(); ++i) {
    const auto one = first_like(i);
    const auto at_odds = [&](const PalmStay& other) {
      const bool before = other.start < one->start || (other.start == one->start && &other < &*one);
      return before && one->start < other.start + days &&
             std::abs(one->warm - other.warm) > tolerance;
    };
    if (std::any_of(stays.begin(), stays.end(), at_odds)) out.push_back(stays[i].id);
  }
  std::sort(out.begin(), out.end());
  return out;
}

}  // namespace

TEST_CASE("many batches, held against the definition") {
  for (std::uint32_t seed = 1; seed <= 20; ++seed) {
    Palms book;
    std::uint32_t state = seed;
    const auto next = [&](std::uint32_t below) {
      state = state * 1664525U + 1013904223U;
      return static_cast<int>((state >> 16U) % below);
    };
    std::vector<PalmStay> stays;
    const calendar::Day first = *calendar::parse_iso_date("2027-06-07");
    for (int i = 0; i < 25; ++i) {
      const std::string id = "B" + std::to_string(i);
      const int week = next(5);
      const int day = 7 * week + next(5);  // only Monday to Friday can be delivered on
      const int warm = 15 + next(5);
      book.grow(id, calendar::iso_date(first + day), std::to_string(warm) + " degC");
      stays.push_back({id, day, warm});
    }
    std::vector<std::string> found;
    for (const Conflict& conflict : book.checked().conflicts) found.push_back(conflict.batch);
    std::sort(found.begin(), found.end());
    CHECK(found == at_odds_by_hand(stays, 10, 2));
  }
}

TEST_CASE("a batch without a day to be ready by is moved") {
  Palms book;
  book.grow("A", "2027-06-11", "24 degC");
  book::Batch& batch = book.add("B", 10, "2027-06-16");
  batch.ready.reset();
  batch.start = book::Placed<calendar::Day>{*calendar::parse_iso_date("2027-06-06"), {}};
  batch.set["warm"] = quantity("18 degC");
  CHECK(book.checked().conflicts.at(0).repairs.at(0).text ==
        "Move `B` 5 days later, so that it comes when `A` has left.");
}

TEST_CASE("plants that wait for the next stage keep its room at their climate") {
  Palms book(R"(protocol palms { part plant
    input warm = 24 degC from 5 degC to 40 degC
    stage rooting of plant { lasts 4 days  may wait 9 days  room glass  keep air warm }
    stage yard of plant { lasts 1 day } })");
  const auto grow = [&](const std::string& id, const std::string& warm, const std::string& from,
                        const std::string& yard) {
    book::Batch& batch = book.add(id, 10, "2027-06-18");
    batch.set["warm"] = quantity(warm);
    const auto pin = [&](const std::string& stage, const std::string& day) {
      batch.pins.push_back({stage, book::Pin::Side::start, *calendar::parse_iso_date(day), {}});
    };
    pin("rooting", from);
    pin("yard", yard);
  };
  grow("A", "24 degC", "2027-06-01", "2027-06-09");  // four days, and four of waiting
  grow("B", "18 degC", "2027-06-07", "2027-06-14");
  grow("C", "18 degC", "2027-06-09", "2027-06-14");  // A has left
  CHECK(
      book.messages() ==
      "B: `rooting` of `B` and `rooting` of `A` stand in room `glass` together and want different "
      "climates from Mon 2027-06-07 to Tue 2027-06-08: air 18 degC against 24 degC (tolerance 2 "
      "degC).\n");
}
