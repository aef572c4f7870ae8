#include <doctest/doctest.h>

#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

/// Plants that are held until they are wanted.
namespace {

/// Lifted in autumn, potted in spring, ready 70 days after that.
const std::string cold_store = R"(protocol held "Held in the cold" {
  input rot = 1 % per week from 0 % per week to 9 % per week
  part plant
  stage lifting of plant { lasts 1 day  season 1 November to 1 November }
  stage cold of plant {
    lasts 14 days
    holds 20 weeks, loses rot
    loses 10 %
  }
  stage potting of plant { lasts 1 day }
  stage growing of plant { lasts 69 days }
})";

struct Held {
  double start = 0, left = 0;
  int waits = 0;
};

Held held_by(Planned& book) {
  const Plan& plan = book.plan();
  REQUIRE(plan.batches.size() == 1);
  const sheet::Row row = plan.row_of(plan.batches.front());
  REQUIRE(row.dated());
  const language::StageId cold(1);
  return {row.value(row.cells(cold).plants), row.value(row.cells(cold).left),
          row.start(language::StageId(2)) - row.end(cold)};
}

}  // namespace

TEST_CASE("losses grow with the time for which plants are held, and more are started for it") {
  Planned book(cold_store);
  book.site().working = {};
  book.add("A", 1000, "2028-05-10");
  const Held shorter = held_by(book);
  // Lifted on 1 November, in the cold to 16 November; potted 70 days before 10 May, on 1 March.
  CHECK(shorter.waits == 106);
  const double share = 0.9 * (1 - 0.01 * 106 / 7.0);
  CHECK(shorter.start == std::ceil(1000 / share));
  CHECK(shorter.left == doctest::Approx(shorter.start * share));
  book.book().batches.front().ready->value -= 28;
  const Held earlier = held_by(book);
  CHECK(earlier.waits == 78);
  CHECK(earlier.start == std::ceil(1000 / (0.9 * (1 - 0.01 * 78 / 7.0))));
  CHECK(earlier.start < shorter.start);
}

TEST_CASE("plants are held no longer than is said") {
  Planned book(cold_store);
  book.site().working = {};
  book.add("A", 1000, "2028-07-10");
  // They would have to be held for 167 days; so they are ready earlier than they are wanted.
  CHECK(held_by(book).waits == 140);
}

TEST_CASE("what is held without a loss is only waited for") {
  std::string text = cold_store;
  text.replace(text.find("holds 20 weeks, loses rot"), 25, "holds 20 weeks");
  text.replace(text.find("  input rot"), text.find("  part plant") - text.find("  input rot"), "");
  Planned book(text);
  book.site().working = {};
  book.add("A", 900, "2028-05-10");
  const Held held = held_by(book);
  CHECK(held.waits == 106);
  CHECK(held.start == 1000);
}

TEST_CASE("plants are held in air of their own, which is set when the stage is over") {
  std::string text = cold_store;
  text.replace(text.find("holds 20 weeks"), 14,
               "room store  keep air 8 degC  holds 20 weeks at 2 degC");
  Planned book(text);
  book.site().working = {};
  book.site().rooms["store"].can.emplace();
  book.add("A", 1000, "2028-05-10");
  const Plan& plan = book.plan();
  // Of a room that neither heats nor cools it is told once, whichever day it is.
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts.front().code == "room-cannot");
  const sheet::Row row = plan.row_of(plan.batches.front());
  const language::StageId cold(1);
  const auto air = [&](calendar::Day day) {
    std::string out;
    for (const DaySetting& one : plan.settings.given({0, cold}, day)) out += describe(one) + ";";
    return out;
  };
  CHECK(air(row.end(cold) - 1) == "air 8 degC;");
  CHECK(air(row.end(cold)) == "air 2 degC;");
  CHECK(air(row.start(language::StageId(2)) - 1) == "air 2 degC;");
  CHECK(air(row.start(language::StageId(2))) == "");
}
