#include <algorithm>
#include <random>
#include <set>

#include "../day.hpp"
#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "book/site/site.hpp"
#include "plan/level/level.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/load.hpp"
#include "planned.hpp"

/// Levelling of what a plan rests on besides rooms and hours: spacing, climates, closed rooms,
/// duty.
namespace budwood::plan::test {

using tests::day;

namespace {

/// A season that is levelled, and the plan made anew of what came of it.
class Places : public Planned {
 public:
  using Planned::Planned;

  book::Batch& add(const std::string& id, const std::string& protocol, int plants,
                   const std::string& ready, int early, int late) {
    book::Batch& batch = Planned::add(id, plants, ready);
    batch.protocol.value = protocol;
    batch.early = book::Placed<int>{early, {}};
    batch.late = book::Placed<int>{late, {}};
    return batch;
  }

  void hold(const std::string& room, const std::string& amount) {
    site().rooms[room].holds = book::Written{{}, amount, *units::parse_quantity(amount), true};
  }

  /// One person for so many hours on working days, and so many on Saturdays and Sundays.
  void employ(const std::string& name, double hours, double duty = 0) {
    book::Crew crew;
    crew.people = 1;
    crew.hours = hours * 3600.0;
    if (duty > 0) {
      std::array<double, 7> week{};
      week[static_cast<std::size_t>(calendar::Weekday::saturday)] = duty * 3600;
      week[static_cast<std::size_t>(calendar::Weekday::sunday)] = duty * 3600;
      crew.duty = book::Duty{book::WeekHours(week), "", {}};
    }
    site().crews[name] = crew;
  }

  const Levelling& levelled(const LevelOptions& options = {}) {
    found_ = level(plan(), options);
    text::Diagnostics told;
    after_ = make_plan(found_.book, told);
    return found_;
  }
  const Plan& after() const { return after_; }

  /// "code batch" of each conflict, and each crew that is short on a day.
  std::string amiss() const {
    std::string out;
    for (const Conflict& one : after_.conflicts) out += one.code + " " + one.batch + "\n";
    for (const CrewLoad& crew : load_of(after_).crews) {
      for (const CrewOverload& over : crew.overloads) {
        out += crew.crew + " " + calendar::short_date(over.day) + "\n";
      }
    }
    return out;
  }

 private:
  Levelling found_;
  Plan after_;
};

const std::string pots = R"(protocol pots { part plant
  stage grow of plant { lasts 35 days  may wait 2 days  room bench
    space 60 plants per m2 from day 1, 25 per m2 from day 21 } })";

const std::string glass = R"(
protocol warm { part plant
  stage rooting of plant { lasts 10 days  room glass  keep air 24 degC } }
protocol cool { part plant
  stage rooting of plant { lasts 10 days  room glass  keep air 18 degC } })";

const std::string fog = R"(
protocol sprayed { part tip
  stage rooting of tip { lasts 10 days  room fog_house
    do "Spray" on day 3 { no entry for 20 h after } } }
protocol looked_at { part tip
  stage rooting of tip { lasts 10 days  room fog_house
    do "Look" on day 3, day 4 } })";

const std::string tent = R"(
protocol watched { part plant
  stage wet of plant { lasts 9 days  room tent
    do "Look" daily { time 40 min  crew carers  tagged watch } } })";

}  // namespace

TEST_CASE("what plants take when they are spaced finds room, on each day") {
  // 300 plants take 5 m2, from day 21 on 12 m2. Two such batches fit at 5 and 12, not at 12 and 12.
  Places season(pots);
  season.hold("bench", "17 m2");
  season.add("A", "pots", 300, "2027-06-11", 28, 0);
  season.add("B", "pots", 300, "2027-06-11", 0, 0);
  const Levelling& found = season.levelled();
  CHECK(found.unresolved.empty());
  CHECK(season.amiss().empty());
  REQUIRE(found.moves.size() == 1);
  // Not earlier than it takes: the last of A leaves when B is spaced.
  CHECK(found.moves[0].ready_after >= day("2027-05-25"));
}

TEST_CASE("batches that want different climates come to a room one after the other") {
  Places season(glass);
  season.add("A", "warm", 10, "2027-06-11", 0, 0);
  season.add("B", "cool", 10, "2027-06-14", 14, 14);
  season.add("C", "warm", 10, "2027-06-15", 0, 0);
  CHECK_FALSE(season.plan().conflicts.empty());
  const Levelling& found = season.levelled();
  CHECK(found.unresolved.empty());
  CHECK(season.amiss().empty());
  REQUIRE(found.moves.size() == 1);
  CHECK(found.moves[0].batch == "B");
  CHECK(found.moves[0].because == "its room is wanted in another climate");
}

TEST_CASE("a room with zones keeps batches of several climates where they are") {
  Places season(glass);
  season.site().rooms["glass"].zones = 2;
  season.add("A", "warm", 10, "2027-06-11", 14, 14);
  season.add("B", "cool", 10, "2027-06-14", 14, 14);
  CHECK(season.levelled().moves.empty());
  // A third climate is one too many.
  Places three(glass + R"(
protocol hot { part plant stage rooting of plant { lasts 10 days  room glass  keep air 30 degC } })");
  three.site().rooms["glass"].zones = 2;
  three.add("A", "warm", 10, "2027-06-11", 0, 0);
  three.add("B", "cool", 10, "2027-06-14", 0, 0);
  three.add("C", "hot", 10, "2027-06-15", 14, 14);
  REQUIRE(three.plan().conflicts.size() == 1);
  CHECK(three.levelled().unresolved.empty());
  CHECK(three.amiss().empty());
}

TEST_CASE("a batch that finds its room in another climate has no place, and is told so") {
  Places season(glass);
  season.add("A", "warm", 10, "2027-06-11", 0, 0);
  season.add("B", "cool", 10, "2027-06-14", 2, 2);
  const Levelling& found = season.levelled();
  REQUIRE(found.unresolved.size() == 1);
  CHECK(found.unresolved[0].batch == "B");
  REQUIRE(found.unresolved[0].short_of.size() == 1);
  CHECK(found.unresolved[0].short_of[0].find("`glass`") != std::string::npos);
}

TEST_CASE("work is not kept out by a treatment where its batch can come on other days") {
  Places season(fog);
  season.add("A", "sprayed", 10, "2027-06-11", 0, 0);
  season.add("B", "looked_at", 10, "2027-06-11", 0, 7);
  REQUIRE(season.plan().conflicts.size() == 1);
  CHECK(season.plan().conflicts[0].code == "no-entry");
  const Levelling& found = season.levelled();
  CHECK(found.unresolved.empty());
  CHECK(season.amiss().empty());
  REQUIRE(found.moves.size() == 1);
  CHECK(found.moves[0].because == "its room is closed when there is work in it");
}

TEST_CASE("whoever has duty has the hours for all that is looked after on a Saturday") {
  Places season(tent);
  season.employ("carers", 7, 1);
  season.add("A", "watched", 10, "2027-06-11", 0, 0);
  season.add("B", "watched", 10, "2027-06-11", 21, 0);
  CHECK_FALSE(load_of(season.plan()).fits());
  const Levelling& found = season.levelled();
  CHECK(found.unresolved.empty());
  CHECK(season.amiss().empty());
  REQUIRE(found.moves.size() == 1);
  CHECK(found.moves[0].batch == "B");
}

TEST_CASE("hours of duty that are too few whatever is done keep nobody from levelling rooms") {
  Places season(tent);
  season.hold("tent", "100 plants");
  season.employ("carers", 7, 0.5);
  season.add("A", "watched", 80, "2027-06-11", 0, 0);
  season.add("B", "watched", 80, "2027-06-11", 28, 0);
  const Levelling& found = season.levelled();
  for (const Conflict& one : season.after().conflicts) CHECK(one.code != "room-full");
  REQUIRE_FALSE(found.unresolved.empty());
  REQUIRE_FALSE(found.unresolved[0].short_of.empty());
  CAPTURE(found.unresolved[0].short_of[0]);
  CHECK(found.unresolved[0].short_of[0].starts_with("crew `carers` on duty lacks up to 0.25 h "));
}

TEST_CASE("turns that are left out today come back on other days, and find their crew") {
  // Three days of two hours each. A's second and third are a Saturday and a Sunday.
  Places season(R"(protocol tidied { part plant
    stage tidy of plant { lasts 3 days  room bench  space plants
      do "Tidy" every 1 day from day 2 { time 2 h  crew tidiers } } })");
  season.employ("tidiers", 3);
  season.hold("bench", "100 plants");
  season.add("A", "tidied", 80, "2027-06-07", 0, 7).priority = book::Placed<int>{2, {}};
  season.add("B", "tidied", 80, "2027-06-07", 0, 0).priority = book::Placed<int>{3, {}};
  season.add("C", "tidied", 10, "2027-06-10", 0, 7);
  const Levelling& found = season.levelled();
  CHECK(found.unresolved.empty());
  CHECK(season.amiss().empty());
}

namespace {

/// A season of all of it.
std::string all_kinds() {
  return pots + glass + fog + R"(
protocol misted { part plant
  stage stick of plant { lasts 1 day  room bench_2  do "Stick" on day 1 { rate 20 per hour  crew carers } }
  stage wet of plant { lasts 9 days  may wait 3 days  room tent  space plants  mist 8 s every 20 min
    do "Look" daily { time 20 min  crew carers  tagged watch }
    do "Water" every 3 days from day 2 within 1 day { time 30 min  crew carers  tagged water }
    do "Pick over" every 2 days { time 1 h  crew carers } }
  stage dry of plant { lasts 4 days  room glass  keep air 25 degC } })";
}

std::set<std::string> unresolved_of(const Levelling& found) {
  std::set<std::string> out;
  for (const Unresolved& one : found.unresolved) {
    CHECK_FALSE(one.short_of.empty());
    out.insert(one.batch);
  }
  return out;
}

}  // namespace

TEST_CASE("what is said to be placed fits in the plan made anew, whatever it is that fits") {
  std::mt19937 random(31);
  const auto pick = [&](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  int amiss_before = 0, resolved = 0, unresolved = 0, placed = 0;
  for (int run = 0; run < 60; ++run) {
    Places season(all_kinds());
    season.hold("bench", std::to_string(pick(20, 40)) + " m2");
    season.hold("tent", "150 plants");
    season.site().rooms["glass"].zones = pick(1, 2);
    season.site().rooms["tent"].turnover = pick(0, 2);
    season.employ("carers", pick(3, 8), pick(0, 1) == 0 ? 0 : 1);
    const std::vector<std::string> names{"pots", "warm", "cool", "sprayed", "looked_at", "misted"};
    const int batches = pick(4, 10);
    for (int b = 0; b < batches; ++b) {
      season.add("S" + std::to_string(b), names[static_cast<std::size_t>(pick(0, 5))],
                 pick(20, 120), calendar::iso_date(day("2027-06-07") + pick(0, 30)), pick(0, 14),
                 pick(0, 7));
    }
    const Plan& before = season.plan();
    std::set<std::string> own;  // what a batch is in its own way with, whatever its days
    for (const Conflict& one : before.conflicts) {
      ++amiss_before;
      if (one.others.empty()) own.insert(one.code + one.batch);
    }
    LevelOptions options;
    options.rounds = 200;
    const Levelling& found = season.levelled(options);
    const std::set<std::string> without = unresolved_of(found);
    unresolved += static_cast<int>(without.size());
    placed += batches - static_cast<int>(without.size());
    for (const Conflict& one : season.after().conflicts) {
      if (one.others.empty() && own.contains(one.code + one.batch)) continue;
      const bool told = without.contains(one.batch) ||
                        std::any_of(one.others.begin(), one.others.end(),
                                    [&](const auto& id) { return without.contains(id); });
      CHECK_MESSAGE(told, "run ", run, " ", one.code, " ", one.message);
    }
    for (const CrewLoad& crew : load_of(season.after()).crews) {
      for (const CrewOverload& over : crew.overloads) {
        const bool told =
            std::any_of(over.batches.begin(), over.batches.end(), [&](std::uint32_t b) {
              const Plan& after = season.after();
              return without.contains(after.facts_of(after.batches[b]).id.value);
            });
        CHECK_MESSAGE(told, "run ", run, " ", crew.crew, " ", calendar::short_date(over.day));
      }
    }
    resolved += without.empty() ? 1 : 0;
  }
  MESSAGE(amiss_before << " conflicts before; " << resolved << " seasons resolved, " << placed
                       << " batches placed, " << unresolved << " not");
  CHECK(amiss_before > 60);
  CHECK(resolved > 20);
  CHECK(placed > 5 * unresolved);
}

}  // namespace budwood::plan::test
