#include <string>
#include <vector>

#include "../words.hpp"
#include "book/rounds/rounds.hpp"
#include "plan/needs/needs.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/load.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using budwood::tests::any_has;

namespace {

/// A site that works Monday to Friday, with rounds through one room from Monday, 1 March 2027 on.
struct Rounds : Planned {
  explicit Rounds(const std::string& until, std::vector<std::string> pests = {"thrips", "gnats"})
      : Planned("protocol idle { part plant stage s of plant { lasts 1 day } }") {
    book::Scouting scout;
    scout.pests = std::move(pests);
    scout.act_at = 10;
    scout.cards = 8;
    scout.from = *calendar::parse_iso_date("2027-03-01");
    scout.until = *calendar::parse_iso_date(until);
    scout.crew = "growing";
    site().rooms["house"].scout = scout;
    book::Crew& crew = site().crews["growing"];
    crew.people = 1;
    crew.hours = book::WeekHours(7 * 3600);
  }
  const Plan& rounds() {
    text::Diagnostics found;
    book::add_rounds(site(), sources_, found, book().protocols, book().batches);
    REQUIRE_FALSE(found.has_errors());
    return plan();
  }

 private:
  text::Sources sources_;
};

std::vector<std::string> dates_of_rounds(const Plan& plan) {
  std::vector<std::string> out;
  for (const WorkOrder& order : plan.orders) out.push_back(calendar::iso_date(order.date));
  return out;
}

}  // namespace

TEST_CASE("rounds through a room are orders, week by week, on days on which people work") {
  Rounds house("2027-04-04");
  house.site().working = calendar::WorkingDays(
      {calendar::Weekday::monday, calendar::Weekday::tuesday, calendar::Weekday::wednesday},
      {*calendar::parse_iso_date("2027-03-15"), *calendar::parse_iso_date("2027-03-16")});
  const Plan& plan = house.rounds();
  CHECK(dates_of_rounds(plan) == std::vector<std::string>{"2027-03-01", "2027-03-08", "2027-03-17",
                                                          "2027-03-22", "2027-03-29"});
  CHECK(plan.conflicts.empty());
  const OrderDetail count = describe(plan, plan.orders[1]);
  CHECK(count.batch == "scout-house");
  CHECK(count.room == "house");
  CHECK(count.crew == "growing");
  CHECK(count.person_seconds == 8 * 300);
  CHECK(count.records.size() == 2);
}

TEST_CASE("each round tells from how many on a card on something is done") {
  Rounds house("2027-03-28", {"thrips", "fungus_gnats"});
  const Plan& plan = house.rounds();
  REQUIRE(plan.orders.size() == 4);
  for (std::size_t i = 0; i < plan.orders.size(); ++i) {
    const OrderDetail detail = describe(plan, plan.orders[i]);
    CAPTURE(detail.id);
    const bool counts = i > 0;  // the first one hangs the cards
    CHECK(any_has(detail.notes, "Too many fungus gnats on a card") == counts);
    CHECK(any_has(detail.notes, "thrips >= 10") == counts);
  }
}

TEST_CASE(
    "too many on a card are told once they are noted, for the round in which they were seen") {
  // Rounds are due on 6, 13 and 20 March, which are Saturdays.
  Rounds house("2027-03-28");
  house.site().rooms["house"].scout->from = *calendar::parse_iso_date("2027-02-27");
  house.rounds();
  house.book().batches.back().pins.push_back(
      {"rounds", book::Pin::Side::start, *calendar::parse_iso_date("2027-02-27"), {}, true});
  const auto saw = [&](const std::string& date, double thrips) {
    record::Entry entry;
    entry.batch = "scout-house";
    entry.place = "rounds";
    entry.what = record::What::seen;
    entry.name = "thrips";
    entry.number = thrips;
    entry.unit = "thrips";
    entry.day = *calendar::parse_iso_date(date);
    house.book().history.push_back(entry);
    house.book().today = entry.day;
  };
  const auto told = [&] {
    std::string days;
    for (const auto& note : house.plan().notes) {
      const std::size_t at = note.message.find("thrips >= 10` was so on ");
      if (at == std::string::npos) continue;
      CHECK(note.message.find("Too many thrips on a card") != std::string::npos);
      days += note.message.substr(note.message.find("2027-"), 10) + " ";
    }
    return days;
  };
  saw("2027-03-08", 14);
  CHECK(told() == "2027-03-08 ");
  saw("2027-03-15", 3);
  CHECK(told() == "2027-03-08 ");
  saw("2027-03-22", 12);
  CHECK(told() == "2027-03-08 2027-03-22 ");
}

TEST_CASE("cards take no space of the room") {
  Rounds house("2027-03-28");
  house.site().rooms["house"].holds = quantity("1 m2");
  CHECK(house.rounds().conflicts.empty());
  const Load load = load_of(house.plan());
  REQUIRE(load.rooms.size() == 1);
  CHECK(load.rooms.front().stays.empty());
}

TEST_CASE("cards are bought, people's hours are counted") {
  Rounds house("2027-03-21");
  const Plan& plan = house.rounds();
  const Needs needs = total_needs(plan);
  REQUIRE(needs.supplies.size() == 1);
  CHECK(needs.supplies.front().amount == 24);  // eight cards in each of three rounds
}

TEST_CASE("rounds that are shorter than a week only hang the cards") {
  Rounds house("2027-03-03");
  CHECK(dates_of_rounds(house.rounds()) == std::vector<std::string>{"2027-03-01"});
}
