#include <doctest/doctest.h>

#include "results/learn.hpp"
#include "seasons.hpp"
#include "statistics/intervals.hpp"

using namespace budwood;
using namespace budwood::results;
using namespace budwood::results::test;

TEST_CASE("a count of a sample, and one of a whole stage after work with so many plants") {
  Season season;
  season.batch("A");
  season.batch("B");
  season.grafted("B", 290, "Ana");
  season.counted("A", 61, 80);
  season.counted("B", 200, 0);
  const Summary summary = season.ask(Of::take, By::batch);
  REQUIRE(summary.rows.size() == 2);
  const Row& a = row_of(summary, "A");
  CHECK(a.amount == 80);
  CHECK(a.result == 61);
  CHECK(a.value == doctest::Approx(61.0 / 80));
  CHECK(a.interval->low == doctest::Approx(statistics::wilson(61, 80)->low));
  CHECK(a.usual.value_or(0) == doctest::Approx(0.7));
  CHECK(a.start_noted);
  const Row& b = row_of(summary, "B");
  CHECK(b.amount == 290);
  CHECK(b.result == 200);
  CHECK(b.start_noted);
}

TEST_CASE("what nobody noted comes from the plan, and is said to") {
  Season season;
  season.batch("A");
  season.counted("A", 150, 0);
  const Row row = row_of(season.ask(Of::take, By::batch), "A");
  CHECK_FALSE(row.start_noted);
  CHECK(row.amount == 286);  // 200 / 0.7, rounded up
}

TEST_CASE("losses after a count, and a later count, hold") {
  Season season;
  season.batch("A");
  season.grafted("A", 300, "");
  season.counted("A", 250, 0, "", "2027-05-15");
  record::Entry lost = season.entry(record::What::lost, "A", "healing", "2027-05-17");
  lost.number = 12;
  season.note(lost);
  CHECK(row_of(season.ask(Of::take, By::batch), "A").result == 238);
  season.counted("A", 230, 0, "", "2027-05-20");
  CHECK(row_of(season.ask(Of::take, By::batch), "A").result == 230);
  // Noted late, of an earlier day: the last day holds.
  season.counted("A", 299, 0, "", "2027-05-12");
  CHECK(row_of(season.ask(Of::take, By::batch), "A").result == 230);
}

TEST_CASE("trays stand for themselves, and widen the interval") {
  Season season;
  season.batch("A");
  season.counted("A", 20, 24, "1");
  season.counted("A", 8, 24, "2");
  season.counted("A", 23, 24, "3");
  season.counted("A", 51, 72);  // all together once more: not counted twice
  const Row whole = row_of(season.ask(Of::take, By::batch), "A");
  CHECK(whole.units == 3);
  CHECK(whole.amount == 72);
  CHECK(whole.result == 51);
  const auto plain = statistics::wilson(51, 72);
  CHECK(whole.interval->high - whole.interval->low > 1.5 * (plain->high - plain->low));
  const Summary trays = season.ask(Of::take, By::tray);
  CHECK(trays.rows.size() == 3);
  CHECK(row_of(trays, "A, tray 2").result == 8);
}

TEST_CASE("groups: variant, edition, protocol, person, lot, room, week, site") {
  Season season;
  season.batch("A").lots["scion_stick"] = {"row 4", {}};
  season.batch("B", "clipped");
  season.grafted("A", 100, "Ana");
  season.grafted("B", 100, "Ben");
  season.counted("A", 60, 100);
  season.counted("B", 80, 100);
  const auto groups = [&](By by) {
    std::string out;
    for (const Row& row : season.ask(Of::take, by).rows) {
      out += (out.empty() ? "" : "; ") + row.group;
    }
    return out;
  };
  CHECK(groups(By::variant) == "as written; clipped");
  CHECK(groups(By::edition) == "bark edition 2");
  CHECK(groups(By::protocol) == "bark");
  CHECK(groups(By::person) == "Ana; Ben");
  CHECK(groups(By::lot) == "not told; scion_stick: row 4");
  CHECK(groups(By::room) == "tunnel");
  CHECK(groups(By::week) == "2027-W19");
  CHECK(groups(By::site) == "Test");
  const Row protocol = row_of(season.ask(Of::take, By::protocol), "bark");
  CHECK(protocol.amount == 200);
  CHECK(protocol.result == 140);
  CHECK(protocol.usual.value_or(0) == doctest::Approx(0.75));  // 70 % and 80 %, as many of each
}

TEST_CASE("counts over what was there, and trays without a number, are told") {
  Season season;
  season.batch("A");
  season.batch("B");
  season.grafted("A", 100, "");
  season.counted("A", 120, 0);
  season.counted("B", 20, 0, "4");
  const Summary summary = season.ask(Of::take, By::batch);
  CHECK(summary.rows.empty());
  REQUIRE(summary.left_out.size() == 2);
  CHECK(summary.left_out[0].message.find("120 were counted where 100") != std::string::npos);
  CHECK(summary.left_out[1].message.find("tray 4") != std::string::npos);
}

TEST_CASE("all and none") {
  Season season;
  season.batch("A");
  season.batch("B");
  season.counted("A", 50, 50);
  season.counted("B", 0, 50);
  const Summary summary = season.ask(Of::take, By::batch);
  CHECK(row_of(summary, "A").interval->high == 1);
  CHECK(row_of(summary, "A").interval->low < 0.95);
  CHECK(row_of(summary, "B").interval->low == 0);
  CHECK(row_of(summary, "B").interval->high > 0.05);
}

TEST_CASE("plants an hour are all plants over all hours") {
  Season season;
  season.batch("A");
  season.batch("B");
  season.grafted("A", 40, "Ana", 2);
  season.grafted("B", 160, "Ana", 4);
  const Summary summary = season.ask(Of::rate, By::person);
  REQUIRE(summary.rows.size() == 1);
  CHECK(summary.rows[0].units == 2);
  CHECK(summary.rows[0].value == doctest::Approx(200.0 / 6));
  CHECK(summary.rows[0].title == "Graft");
  CHECK(summary.rows[0].interval.has_value());
  // One job has no interval.
  CHECK_FALSE(row_of(season.ask(Of::rate, By::batch), "A").interval);
}

TEST_CASE("days of stages against their range") {
  Season season;
  book::Batch& a = season.batch("A");
  const auto pin = [&](book::Pin::Side side, const char* day) {
    a.pins.push_back({"healing", side, *calendar::parse_iso_date(day), {}, true});
  };
  pin(book::Pin::Side::start, "2027-05-12");
  pin(book::Pin::Side::end, "2027-06-05");
  const Summary summary = season.ask(Of::days, By::protocol);
  REQUIRE(summary.rows.size() == 1);
  CHECK(summary.rows[0].value == 24);
  CHECK(summary.rows[0].usual == 20);
}

TEST_CASE("what makes no sense is said") {
  CHECK(misuse_of({Of::take, By::person, ""}).empty());
  CHECK_FALSE(misuse_of({Of::cost, By::tray, ""}).empty());
  CHECK_FALSE(misuse_of({Of::cost, By::batch, "healing"}).empty());
  CHECK_FALSE(misuse_of({Of::days, By::person, ""}).empty());
  for (const std::string& word : by_words()) CHECK(results::word(*find_by(word)) == word);
  for (const std::string& word : of_words()) CHECK(results::word(*find_of(word)) == word);
  CHECK_FALSE(find_by("moon"));
}

TEST_CASE("a batch of which few came through is told, with what is known of it") {
  Season season;
  season.batch("A").lots["scion_stick"] = {"row 4", {}};
  season.batch("B");
  season.grafted("A", 100, "Ana");
  season.grafted("B", 100, "Ben");
  season.counted("A", 20, 50, "1");
  season.counted("A", 22, 50, "2");
  season.counted("B", 12, 24, "1");  // one poor tray of a good batch
  season.counted("B", 50, 60, "2");
  const auto below = below_expectation(season.plan());
  REQUIRE(below.size() == 1);
  CHECK(below[0].batch == "A");
  CHECK(below[0].plants.good == 42);
  CHECK(below[0].plants.of == 100);
  CHECK(below[0].usual == doctest::Approx(0.7));
  CHECK(below[0].chance < 0.005);
  CHECK(below[0].facts.front() == "done by Ana");
}

TEST_CASE("what is learned: from few batches together with the protocol, from five on alone") {
  Season season;
  for (const char* id : {"A", "B"}) {
    season.batch(id);
    season.counted(id, 40, 80);
  }
  auto learned = learn(season.asked());
  REQUIRE(learned.size() == 1);
  CHECK(learned[0].input == "take");
  CHECK_FALSE(learned[0].from_batches);
  CHECK(learned[0].good == 80);
  CHECK(learned[0].seen == 160);
  CHECK(learned[0].value > 0.5);  // the protocol has 70 %
  CHECK(learned[0].value < 0.7);
  CHECK(learned[0].between_batches == default_likeness);
  const double good[] = {62, 38, 55};
  int i = 0;
  for (const char* id : {"C", "D", "E"}) {
    season.batch(id);
    season.counted(id, good[i++], 80);
  }
  learned = learn(season.asked());
  REQUIRE(learned.size() == 1);
  CHECK(learned[0].from_batches);
  CHECK(learned[0].batches == 5);
  CHECK(learned[0].value == doctest::Approx(235.0 / 400).epsilon(0.01));
  CHECK(learned[0].between_batches > 0.005);
  CHECK(learned[0].next->low < 0.47);
  CHECK(learned[0].starts_for_100.value_or(0) > 180);
}

TEST_CASE("a rate that is no input is not learned") {
  Season season;
  season.batch("A");
  season.batch("B");
  season.grafted("A", 40, "Ana", 2);
  season.grafted("B", 160, "Ana", 4);
  // The rate of the protocol is a number, no input: there is nothing to learn.
  CHECK(learn(season.asked()).empty());
}

TEST_CASE("work that was noted for a tray does not hide a count of the whole stage") {
  Season season;
  season.batch("B1");
  record::Entry look = season.entry(record::What::done, "B1", "healing/1/1", "2027-05-18");
  look.tray = "7";
  look.number = 20;
  season.note(look);
  season.counted("B1", 61, 80);
  const Summary summary = season.ask(Of::take, By::batch);
  CHECK(row_of(summary, "B1").result == 61);
  CHECK(row_of(summary, "B1").amount == 80);
}

TEST_CASE("the chance of a poor batch is that of so few and fewer") {
  Season season;
  season.batch("B1");
  season.counted("B1", 0, 40);
  const auto poor = below_expectation(season.plan());
  REQUIRE(poor.size() == 1);
  // That none of 40 comes through is seldom, and not impossible.
  CHECK(poor[0].chance > 0);
  CHECK(poor[0].chance < 0.001);
}
