#include <algorithm>
#include <random>

#include "../day.hpp"
#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "book/site/site.hpp"
#include "plan/level/level.hpp"
#include "plan/level/propose.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/load.hpp"
#include "planned.hpp"

namespace budwood::plan::test {

using tests::day;

namespace {

const std::string tents = R"(protocol tents "Tents" {
  part plant "Plant"
  stage sowing of plant {
    lasts 1 day
    room bench
    do "Sow" on day 1 { rate 50 per hour  crew sowers }
  }
  stage tent of plant {
    lasts 10 days
    may wait 3 days
    room tent
    space plants
    do "Air" on day 3 within 2 days { time 2 h  crew airers }
  }
  stage sale of plant {
    lasts 5 days
    may wait 4 days
    room bench
  }
}
)";

class Season : public Planned {
 public:
  Season() : Planned(tents) {
    site().rooms["bench"];
    book::Room tent;
    tent.holds = book::Written{};
    tent.holds->quantity.value = 100;
    tent.holds->quantity.has_unit = true;
    tent.holds->quantity.unit = units::counting_unit("plants");
    site().rooms["tent"] = tent;
    site().crews["sowers"] = crew(4);
    site().crews["airers"] = crew(4);
  }

  static book::Crew crew(int people) {
    book::Crew out;
    out.people = people;
    out.hours = 7 * 3600.0;
    return out;
  }

  book::Batch& add(const std::string& id, int plants, const std::string& ready, int early,
                   int late) {
    book::Batch& batch = Planned::add(id, plants, ready);
    batch.early = book::Placed<int>{early, {}};
    batch.late = book::Placed<int>{late, {}};
    return batch;
  }

  const Levelling& levelled(LevelOptions options = {}) {
    found_ = level(plan(), options);
    text::Diagnostics found;
    after_ = make_plan(found_.book, found);
    return found_;
  }
  const Plan& after() const { return after_; }
  bool fits() const { return load_of(after_).fits(); }

  calendar::Day ready(std::size_t batch) const {
    const BatchPlan& one = after_.batches[batch];
    return static_cast<calendar::Day>(
        after_.sheet_of(one).value(after_.sheet_of(one).layout().ready, one.row));
  }

 private:
  Levelling found_;
  Plan after_;
};

}  // namespace

TEST_CASE("of two batches that want one tent the one with less priority goes earlier") {
  Season season;
  season.add("A", 80, "2027-06-11", 21, 0);
  season.add("B", 80, "2027-06-11", 21, 0).priority = book::Placed<int>{5, {}};
  CHECK_FALSE(load_of(season.plan()).fits());
  const Levelling& found = season.levelled();
  CHECK(found.unresolved.empty());
  REQUIRE(found.moves.size() == 1);
  CHECK(found.moves[0].batch == "A");
  CHECK(found.moves[0].because.find("`tent` is too full") != std::string::npos);
  CHECK(season.fits());
  CHECK(season.ready(1) == day("2027-06-11"));
  CHECK(season.ready(0) < day("2027-06-11"));
  CHECK(found.late_days == 0);
}

TEST_CASE("what was done of a batch that was given up since is in nobody's way") {
  Season season;
  book::Batch& given_up = season.add("A", 80, "2027-06-11", 0, 21);
  given_up.done.push_back({"sowing/1/1", day("2027-05-24"), {}});
  given_up.stopped = book::Placed<calendar::Day>{day("2027-05-25"), {}};
  season.book().today = day("2027-05-26");
  season.add("B", 80, "2027-06-30", 0, 21);
  const auto& orders = season.plan().orders;
  REQUIRE(
      std::any_of(orders.begin(), orders.end(), [](const auto& one) { return one.batch == 0; }));
  CHECK(season.levelled().unresolved.empty());
}

TEST_CASE("days of cleaning lie between the batches that are levelled") {
  Season season;
  season.site().rooms["tent"].turnover = 2;
  season.add("A", 80, "2027-06-11", 28, 0);
  season.add("B", 80, "2027-06-11", 0, 0);
  CHECK(season.levelled().unresolved.empty());
  CHECK(season.fits());
}

TEST_CASE("lateness within what is allowed is kept as small as can be, and that is proven") {
  Season season;
  season.add("A", 80, "2027-06-11", 0, 21);
  season.add("B", 80, "2027-06-11", 0, 0);
  const Levelling& found = season.levelled();
  CHECK(found.unresolved.empty());
  CHECK(season.fits());
  // B holds the tent until the day on which it is sold at the latest.
  CHECK(season.ready(0) > day("2027-06-11"));
  CHECK(found.late_days == season.ready(0) - day("2027-06-11"));
  CHECK(found.least_late_days <= found.late_days);
}

TEST_CASE("what helps a batch without a place does help") {
  Season season;
  season.add("A", 80, "2027-06-11", 0, 0).priority = book::Placed<int>{2, {}};
  season.add("B", 70, "2027-06-11", 0, 0);
  const Levelling found = season.levelled();
  REQUIRE(found.unresolved.size() == 1);
  CHECK(found.unresolved[0].batch == "B");
  const std::vector<std::string>& reliefs = found.unresolved[0].reliefs;
  REQUIRE(reliefs.size() == 3);
  CHECK(reliefs[0].find("room for 50 plants more in `tent`") != std::string::npos);
  CHECK(reliefs[2].find("20 plants find a place") == std::string::npos);
  season.site().rooms["tent"].holds->quantity.value = 150;
  CHECK(season.levelled().unresolved.empty());
  CHECK(season.fits());
}

TEST_CASE("a relief names the days on which room is missing, not those that are just full") {
  Season season;
  season.add("A", 80, "2027-06-11", 0, 0).priority = book::Placed<int>{2, {}};
  season.add("B", 20, "2027-06-11", 0, 0);
  season.add("C", 10, "2027-06-18", 0, 0).priority = book::Placed<int>{2, {}};
  // A and B fill the tent; from the day on which C comes ten are too many.
  const auto tent = [&](std::size_t batch) {
    const Plan& plan = season.plan();
    return plan.row_of(plan.batches[batch]).start(language::StageId(1));
  };
  REQUIRE(tent(1) < tent(2));
  const calendar::Day comes = tent(2);
  const Levelling found = season.levelled();
  REQUIRE(found.unresolved.size() == 1);
  CHECK(found.unresolved[0].batch == "B");
  REQUIRE(found.unresolved[0].short_of.size() == 1);
  CAPTURE(found.unresolved[0].short_of[0]);
  CHECK(found.unresolved[0].short_of[0].starts_with("`tent` lacks room for 10 plants from " +
                                                    calendar::short_date(comes)));
}

TEST_CASE("a batch that asks for a Saturday may be late like any other") {
  // It is planned for Friday, a day before the one that it asks for.
  Season season;
  season.add("A", 80, "2027-06-12", 0, 21);
  season.add("B", 80, "2027-06-11", 0, 0);
  CHECK(season.levelled().unresolved.empty());
  CHECK(season.fits());
  CHECK(season.ready(0) > day("2027-06-12"));
}

namespace {

/// Two batches of 80 plants at `site` that are ready on one Friday; the second may be earlier.
void add_pair(Planned& planned, int early) {
  planned.site().rooms["bench"];
  planned.site().rooms["tent"].holds =
      book::Written{{}, "100 plants", *units::parse_quantity("100 plants"), true};
  planned.site().crews["airers"] = Season::crew(4);
  planned.add("A", 80, "2027-06-11");
  planned.add("B", 80, "2027-06-11").early = book::Placed<int>{early, {}};
}

/// Whether both find a place, and do so in the plan that is made of it.
bool finds_places(Planned& planned) {
  const Levelling found = level(planned.plan(), {});
  text::Diagnostics told;
  const bool fits = load_of(make_plan(found.book, told)).fits();
  CHECK(fits == found.unresolved.empty());
  return found.unresolved.empty();
}

}  // namespace

TEST_CASE("a room is cleaned after a stage of two hours as after any other") {
  const std::string dips = R"(protocol dips "Dips" {
  part plant
  stage dip of plant { lasts 2 hours  no wait  room tent  space plants }
  stage grow of plant { lasts 7 days  room bench }
})";
  for (const int early : {1, 3}) {
    CAPTURE(early);
    Planned planned(dips);
    add_pair(planned, early);
    planned.site().rooms["tent"].turnover = 2;
    // One day earlier the tent is not clean when A comes.
    CHECK(finds_places(planned) == (early == 3));
  }
}

TEST_CASE(
    "a turn that falls on days on which nobody is there is left out, and keeps no batch out") {
  // Only a Wednesday is early enough; its fourth and fifth day are a Saturday and a Sunday.
  Planned planned(R"(protocol tents "Tents" {
  part plant
  stage tent of plant {
    lasts 8 days
    room tent
    space plants
    do "Air" every 2 days from day 4 to day 5 { time 2 h  crew airers }
  }
})");
  add_pair(planned, 8);
  CHECK(planned.plan().orders.size() == 2);
  CHECK(finds_places(planned));
  CHECK(level(planned.plan(), {}).proven_too_much.empty());
}

TEST_CASE("orders that levelling chose and that are no longer there are passed over") {
  Season season;
  season.add("A", 80, "2027-06-11", 28, 0);
  season.add("B", 80, "2027-06-11", 28, 0);
  book::Book book = season.levelled().book;
  const auto moved = std::find_if(book.batches.begin(), book.batches.end(),
                                  [](const book::Batch& one) { return one.levelled.has_value(); });
  REQUIRE(moved != book.batches.end());
  moved->levelled->orders.push_back({"tent/9/1", day("2027-05-25"), {}});
  text::Diagnostics told;
  make_plan(book, told);
  for (const text::Diagnostic& one : told.sorted()) CHECK(one.code != "unknown-order");
}

TEST_CASE("a batch may be as late as its relief says") {
  Season season;
  season.add("A", 80, "2027-06-11", 0, 0).priority = book::Placed<int>{2, {}};
  season.add("B", 70, "2027-06-11", 0, 0);
  const std::string relief = season.levelled().unresolved.at(0).reliefs.at(1);
  const int days = std::stoi(relief.substr(std::string("Let it be ready ").size()));
  Season later;
  later.add("A", 80, "2027-06-11", 0, 0);
  later.add("B", 70, "2027-06-11", 0, days);
  CHECK(later.levelled().unresolved.empty());
  CHECK(later.fits());
}

TEST_CASE("work moves within its own days before a batch does") {
  Season season;
  season.site().crews["airers"] = Season::crew(1);
  season.site().crews["airers"].hours = 3 * 3600.0;
  season.add("A", 40, "2027-06-09", 7, 0);
  season.add("B", 40, "2027-06-09", 7, 0);
  const Levelling& found = season.levelled();
  CHECK(found.unresolved.empty());
  REQUIRE(found.moves.size() == 1);
  CHECK(found.moves[0].stages == 0);
  CHECK(found.moves[0].orders == 1);
  CHECK(season.fits());
}

TEST_CASE("what is frozen stays, even where it is too much, and the others go round it") {
  Season season;
  season.add("A", 80, "2027-06-11", 28, 28);
  season.add("B", 80, "2027-06-11", 28, 28);
  season.add("C", 80, "2027-06-25", 28, 28);
  season.add("D", 80, "2027-06-25", 28, 28);
  LevelOptions options;
  options.frozen = day("2027-06-04");  // A and B stand in the tent then
  const Levelling& found = season.levelled(options);
  // One of the two that cannot stand together is named; it stays as it is.
  REQUIRE(found.unresolved.size() == 1);
  CHECK((found.unresolved[0].batch == "A" || found.unresolved[0].batch == "B"));
  const Load load = load_of(season.after());
  for (const RoomLoad& room : load.rooms) {
    for (const RoomOverload& over : room.overloads) {
      CHECK(over.batches == std::vector<std::uint32_t>{0, 1});
    }
  }
}

TEST_CASE("work that is done stays on its day, and its stage with it") {
  Season season;
  season.add("A", 80, "2027-06-11", 28, 28);
  book::Batch& second = season.add("B", 80, "2027-06-11", 28, 28);
  second.done = {{"sowing/1/1", day("2027-05-25"), {}}, {"sowing/9/1", day("2027-05-25"), {}}};
  CHECK(season.problems().find("unknown-order Batch `B` has no order `sowing/9/1`.") !=
        std::string::npos);
  const Levelling& found = season.levelled();
  REQUIRE(found.moves.size() >= 1);
  const auto& orders = season.after().orders;
  const auto order =
      std::find_if(orders.begin(), orders.end(), [](const WorkOrder& one) { return one.done(); });
  REQUIRE(order != orders.end());
  CHECK(order->batch == 1);
  CHECK(order->date == day("2027-05-25"));
  for (const BatchMove& move : found.moves) {
    if (move.batch == "B") CHECK(move.start_before == move.start_after);
  }
}

TEST_CASE("dates that were levelled are kept while they fit, and given up with a note when not") {
  Season season;
  season.add("A", 80, "2027-06-11", 28, 0);
  season.add("B", 80, "2027-06-11", 28, 0);
  Levelling found = season.levelled();
  text::Diagnostics told;
  const Plan again = make_plan(found.book, told);
  CHECK(load_of(again).fits());
  LevelOptions options;
  const Levelling twice = level(again, options);
  CHECK(twice.moves.empty());
  CHECK(twice.book.batches[0].levelled.has_value() == found.book.batches[0].levelled.has_value());
  for (book::Batch& batch : found.book.batches) {
    if (batch.levelled) batch.levelled->dates[1].day += 1;
  }
  const Plan stale = make_plan(found.book, told);
  CHECK(std::any_of(stale.notes.begin(), stale.notes.end(), [](const Note& note) {
    return note.message.find("no longer fit") != std::string::npos;
  }));
  for (const BatchPlan& batch : stale.batches) CHECK(batch.dated);
}

TEST_CASE("random seasons that are levelled fit, inside what each batch allows") {
  std::mt19937 random(11);
  int resolved = 0;
  int moved = 0;
  for (int run = 0; run < 40; ++run) {
    Season season;
    season.site().rooms["tent"].turnover = static_cast<int>(random() % 3);
    season.site().crews["airers"] = Season::crew(1);
    std::vector<int> early, late;
    const int batches = 3 + static_cast<int>(random() % 5);
    for (int b = 0; b < batches; ++b) {
      early.push_back(static_cast<int>(random() % 15));
      late.push_back(static_cast<int>(random() % 6));
      const calendar::Day asked = day("2027-06-07") + static_cast<int>(random() % 40);
      season.add("S" + std::to_string(b), 20 + static_cast<int>(random() % 70),
                 calendar::iso_date(asked), early.back(), late.back());
    }
    LevelOptions options;
    options.rounds = 300;
    const Levelling& found = season.levelled(options);
    moved += static_cast<int>(found.moves.size());
    CHECK(season.after().conflicts.empty() == season.fits());
    if (found.unresolved.empty()) {
      ++resolved;
      CHECK_MESSAGE(season.fits(), "run ", run);
    }
    const Plan& today = season.plan();
    for (std::size_t b = 0; b < today.batches.size(); ++b) {
      const calendar::Day asked = today.facts_of(today.batches[b]).ready->value;
      CHECK(season.ready(b) <= asked + late[b]);
      // A batch that asks for a closed day is ready on the working day before.
      CHECK(season.ready(b) >= asked - std::max(early[b], 3));
    }
  }
  CHECK(resolved > 15);
  CHECK(moved > 20);
}

TEST_CASE("cultivars that are raised together move together") {
  Season season;
  season.add("A", 60, "2027-06-11", 0, 0);
  // What makes them one is where they come from, not how they are called.
  book::Batch& first = season.add("rex", 40, "2027-06-11", 28, 0);
  first.cultivar = "Rex";
  first.split_from = "B";
  book::Batch& second = season.add("mira", 30, "2027-06-11", 28, 0);
  second.split_from = "B";
  second.cultivar = "Mira";
  second.lead = false;
  const Levelling& found = season.levelled();
  CHECK(found.batches == 2);
  CHECK(found.unresolved.empty());
  CHECK(season.fits());
  CHECK(season.ready(1) < day("2027-06-11"));
  CHECK(season.ready(1) == season.ready(2));
}

TEST_CASE("a demand becomes batches, split where a whole one finds no place") {
  Season season;
  season.add("A", 60, "2027-06-11", 0, 0);
  Season wanted;
  wanted.add("W1", 80, "2027-06-11", 21, 0);
  wanted.add("W2", 161, "2027-07-16", 21, 0);
  wanted.add("W3", 5000, "2027-08-13", 0, 0);
  const std::vector<book::Batch> demand = wanted.plan().book->batches;
  text::Diagnostics told;
  const Proposal found = propose(*season.plan().book, demand, {}, told);
  REQUIRE(found.batches.size() == 3);
  CHECK(found.batches[0].batch.id.value == "W1");
  CHECK(found.batches[0].batch.ready->value < found.batches[0].asked);
  CHECK(found.batches[1].batch.id.value == "W2a");
  CHECK(found.batches[1].batch.plants.value + found.batches[2].batch.plants.value == 161);
  CHECK_FALSE(found.unmet.empty());
  // Written down as they are proposed, they fit beside what is there.
  book::Book all = *season.plan().book;
  for (const ProposedBatch& one : found.batches) all.batches.push_back(one.batch);
  CHECK(load_of(make_plan(all, told)).fits());
}

}  // namespace budwood::plan::test
