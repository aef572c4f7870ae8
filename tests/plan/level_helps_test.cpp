#include <algorithm>
#include <random>

#include "../day.hpp"
#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "book/site/site.hpp"
#include "plan/level/level.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"

/// What would help over a season: tried, priced, the most first.
namespace budwood::plan::test {

using tests::day;

namespace {

/// Ten days in a tent, with work of five hours on the third.
class Tents : public Planned {
 public:
  Tents()
      : Planned(R"(protocol tents { part plant
          stage tent of plant { lasts 10 days  room tent  space plants
            do "Air" on day 3 { time 5 h  crew airers } } })") {
    hold(1000);
    employ(6);
  }
  void hold(double plants) {
    site().rooms["tent"].holds =
        book::Written{{}, "1 plants", *units::parse_quantity("1 plants"), true};
    site().rooms["tent"].holds->quantity.value = plants;
  }
  void employ(double hours, std::optional<double> cost = {}) {
    book::Crew crew;
    crew.people = 1;
    crew.hours = hours * 3600.0;
    if (cost) crew.cost = book::Placed<double>{*cost, {}};
    site().crews["airers"] = crew;
  }
  void add(const std::string& id, int plants, int late = 0) {
    Planned::add(id, plants, "2027-06-11").late = book::Placed<int>{late, {}};
  }
  Levelling levelled() { return level(plan(), {}); }
};

std::size_t without(Tents& season) {
  return season.levelled().unresolved.size();
}

}  // namespace

TEST_CASE("overtime that gives two batches a place is one change with its price") {
  Tents season;
  season.employ(6, 25);
  season.add("A", 10);
  season.add("B", 10);
  season.add("C", 10);
  const Levelling found = season.levelled();
  REQUIRE(found.unresolved.size() == 2);
  REQUIRE_FALSE(found.helps.empty());
  const Help& best = found.helps.front();
  CHECK(best.change == "9 h overtime of crew `airers` on Thu 2027-06-03");
  CHECK(best.places.size() == 2);
  CHECK(best.price == doctest::Approx(225));
  // Fifteen hours in all do, and no less.
  season.employ(15);
  CHECK(without(season) == 0);
  season.employ(14);
  CHECK(without(season) == 1);
}

TEST_CASE("hours without a price and space have none") {
  Tents season;
  season.hold(50);
  season.add("A", 30);
  season.add("B", 30);
  season.employ(20);
  const Levelling found = season.levelled();
  REQUIRE_FALSE(found.helps.empty());
  const auto space = std::find_if(found.helps.begin(), found.helps.end(),
                                  [](const Help& one) { return !one.more.empty(); });
  REQUIRE(space != found.helps.end());
  CHECK(space->change == "room for 10 plants more in `tent` from Tue 2027-06-01 to Thu 2027-06-10");
  CHECK_FALSE(space->price);
  season.hold(60);
  CHECK(without(season) == 0);
  // The other one is to wait.
  CHECK(std::any_of(found.helps.begin(), found.helps.end(),
                    [](const Help& one) { return one.more.empty() && one.price == 0.0; }));
}

TEST_CASE("what makes batches less late is told with the days that it saves") {
  Tents season;
  season.employ(6, 20);
  season.add("A", 10);
  season.add("B", 10, 20);
  const Levelling found = season.levelled();
  CHECK(found.unresolved.empty());
  REQUIRE(found.late_days > 0);
  REQUIRE(found.helps.size() == 1);
  CHECK(found.helps[0].sooner == std::vector<std::string>{"B"});
  CHECK(found.helps[0].days_sooner == found.late_days);
  CHECK(found.helps[0].price == doctest::Approx(80));
}

TEST_CASE("what is said to help does help, in random seasons") {
  std::mt19937 random(5);
  int tried = 0;
  for (int run = 0; run < 40; ++run) {
    Tents season;
    const double holds = 60 + static_cast<double>(random() % 60);
    season.hold(holds);
    season.employ(11);
    const int batches = 3 + static_cast<int>(random() % 3);
    for (int b = 0; b < batches; ++b) {
      season.add("S" + std::to_string(b), 20 + static_cast<int>(random() % 40));
    }
    const Levelling found = season.levelled();
    for (const Help& help : found.helps) {
      if (help.more.size() != 1 || help.places.empty()) continue;
      ++tried;
      Tents richer = season;
      if (help.more[0].room) {
        richer.hold(holds + help.more[0].amount);
      } else {
        richer.employ(11 + help.more[0].amount / 3600);
      }
      CHECK_MESSAGE(without(richer) + help.places.size() <= found.unresolved.size(), "run ", run,
                    " ", help.change);
    }
  }
  CHECK(tried > 10);
}

}  // namespace budwood::plan::test
