#include <doctest/doctest.h>

#include <boost/math/distributions/binomial.hpp>
#include <cmath>

#include "../day.hpp"
#include "plan/orders/portions.hpp"
#include "plan/rooms/load.hpp"
#include "planned.hpp"
#include "sheet/counts/prospects.hpp"

/// Plants that are ready in portions, and sorted.
namespace {

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using budwood::tests::day;

/// 97 % come through, of them 60 % and 30 % are picked.
std::string picked(const std::string& more = "") {
  return R"(protocol pots "Pots" {
    input early = 60 % from 0 % to 100 %
    supply label "Label" in labels
    part plant
    stage grow of plant {
      lasts 20 to 28 days usually 28 days
      room bench
      space 50 plants per m2
      loses 3 %
      picks early on day 14, 0.9 - early on last day )" +
         more + R"( }
  })";
}

struct Season {
  explicit Season(const std::string& text, int plants = 600) : book(text) {
    book.site().working = {};
    book::Room room;
    room.holds.emplace();
    room.holds->quantity = *units::parse_quantity("100 m2");
    book.site().rooms["bench"] = room;
    book.add("A", plants, "2027-05-31");
  }

  const Plan& plan() { return book.plan(); }
  sheet::Row row() {
    const Plan& now = plan();
    return now.row_of(now.batches.front());
  }
  double value(const std::string& cell) {
    const sheet::Row one = row();
    return one.value(one.layout().find(cell));
  }
  std::vector<Portion> portions() {
    const Plan& now = plan();
    return portions_of(now, now.batches.front());
  }
  double seconds(const std::string& title) {
    const Plan& now = plan();
    for (const WorkOrder& one : now.orders) {
      const OrderDetail order = describe(now, one);
      if (order.title == title) return order.person_seconds;
    }
    return -1;
  }

  Planned book;
};

double at_least(int plants, double rate, int wanted) {
  return 1 - boost::math::cdf(boost::math::binomial(plants, rate), wanted - 1);
}

}  // namespace

TEST_CASE("the number to start follows from what is picked in all") {
  Season season(picked());
  const double started = std::ceil(600 / (0.97 * 0.9));
  CHECK(season.value("grow.plants") == started);
  CHECK(season.value("grow.left") == doctest::Approx(started * 0.97 * 0.9));
  const auto portions = season.portions();
  REQUIRE(portions.size() == 2);
  CHECK(portions[0].date == day("2027-05-16"));
  CHECK(portions[0].plants == doctest::Approx(started * 0.97 * 0.6));
  CHECK(portions[1].date == day("2027-05-30"));
  CHECK(portions[1].plants == doctest::Approx(started * 0.97 * 0.3));
  CHECK(left_unpicked(season.row(), portions[0].stage) == doctest::Approx(started * 0.97 * 0.1));
  // 400 an hour: common practice.
  CHECK(season.seconds("Pick, 1 of 2") ==
        doctest::Approx(std::ceil(portions[0].plants) / 400 * 3600));
}

TEST_CASE("each plant is picked by itself, so the chance is that of one binomial number") {
  Season season(picked());
  const auto found = sheet::prospects(season.row());
  REQUIRE(found);
  const int started = static_cast<int>(season.value("grow.plants"));
  CHECK(found->chance == doctest::Approx(at_least(started, 0.97 * 0.9, 600)));
  season.book.book().batches.front().sure = book::Placed<double>{0.95, {}};
  const int sure = static_cast<int>(season.value("grow.plants"));
  CHECK(at_least(sure, 0.97 * 0.9, 600) >= 0.95);
  CHECK(at_least(sure - 1, 0.97 * 0.9, 600) < 0.95);
}

TEST_CASE("what is picked makes room on the day after") {
  Season season(picked());
  const double started = season.value("grow.plants");
  const Load load = load_of(season.plan());
  const RoomLoad& bench = load.rooms.front();
  CHECK(bench.first == day("2027-05-03"));
  REQUIRE(bench.taken.size() >= 28);
  CHECK(bench.taken[13] == doctest::Approx(started / 50));
  CHECK(bench.taken[14] == doctest::Approx((started - started * 0.97 * 0.6) / 50));
  CHECK(bench.taken[27] == doctest::Approx(bench.taken[14]));
}

TEST_CASE(
    "a count of a picking takes the place of what was expected, and less is left for the next") {
  Season season(picked());
  const double started = season.value("grow.plants");
  book::Batch& batch = season.book.book().batches.front();
  batch.done.push_back({"grow/1/1", day("2027-05-16"), {}, 450.0});
  CHECK(season.value("grow.picked_1") == 450);
  // Of those that were not picked, each is in the second with what the first left of all chances.
  const double rate = 0.97 * 0.3 / (1 - 0.97 * 0.6);
  CHECK(season.value("grow.picked_2") == doctest::Approx((started - 450) * rate));
  CHECK(season.value("grow.left") == doctest::Approx(450 + (started - 450) * rate));
  const auto found = sheet::prospects(season.row());
  REQUIRE(found);
  const int rest = static_cast<int>(started) - 450;
  CHECK(found->chance == doctest::Approx(at_least(rest, rate, 150)));
  CHECK(season.portions().front().counted);
  batch.done.push_back({"grow/2/1", day("2027-05-30"), {}, 200.0});
  CHECK(season.value("grow.left") == 650);
  CHECK(sheet::prospects(season.row())->chance == 1);
  batch.done.back().plants = 100;
  CHECK(sheet::prospects(season.row())->chance == 0);
  REQUIRE(season.plan().conflicts.size() == 1);
  CHECK(season.plan().conflicts.front().code == "too-few");
  CHECK(season.plan().conflicts.front().message.starts_with("550 plants were picked in `grow`"));
}

TEST_CASE("grades say what goes on, and a count of one takes its place") {
  Season season(picked("grades first 80 %, second 12 % sold, weak 5 % thrown out"));
  const double started = std::ceil(600 / (0.97 * 0.9 * 0.8));
  CHECK(season.value("grow.plants") == started);
  const auto portions = season.portions();
  REQUIRE(portions.size() == 2);
  CHECK(graded_text(portions.front().grades) ==
        "first 400; second 60, sold; weak 25, thrown out; 15 in no grade, thrown out");
  book::Batch& batch = season.book.book().batches.front();
  batch.graded.push_back({"grow", "first", 620, {}});
  CHECK(season.value("grow.left") == 620);
  CHECK(sheet::prospects(season.row())->chance == 1);
  CHECK(season.value("grow.grade_second") == doctest::Approx(started * 0.97 * 0.9 * 0.12));
}

TEST_CASE("plants are sorted in the middle of a chain, and the rest goes on") {
  Season season(R"(protocol pots "Pots" {
    part plant
    stage plugs of plant { lasts 10 days  loses 10 %  grades strong 75 %, late 20 % sold }
    stage grow of plant { lasts 20 days  loses 5 % }
  })");
  CHECK(season.value("plugs.plants") == std::ceil(600 / (0.9 * 0.75 * 0.95)));
  CHECK(season.value("plugs.left") == doctest::Approx(season.value("plugs.plants") * 0.9 * 0.75));
  const auto portions = season.portions();
  REQUIRE(portions.size() == 1);
  CHECK(portions.front().date == day("2027-05-10"));
  CHECK(portions.front().plants == doctest::Approx(season.value("plugs.plants") * 0.9));
  book::Batch& batch = season.book.book().batches.front();
  const double started = season.value("plugs.plants");
  batch.done.push_back({"plugs/1/1", day("2027-05-10"), {}, 850.0});
  CHECK(season.value("plugs.plants") == started);
  CHECK(season.value("plugs.left") == doctest::Approx(850 * 0.75));
  CHECK(sheet::prospects(season.row())->chance == doctest::Approx(at_least(850, 0.75 * 0.95, 600)));
}

TEST_CASE("a picking of a stage that is over before its day is done on the last one") {
  Season season(R"(protocol pots "Pots" {
    input length = 28 days from 5 days to 40 days
    part plant
    stage grow of plant { lasts 5 to 40 days usually length  picks 50 % on day 14, 50 % on day 21 }
  })");
  season.book.book().batches.front().set["length"] = book::Written{};
  season.book.book().batches.front().set["length"].quantity = *units::parse_quantity("10 days");
  season.book.book().batches.front().set["length"].known_unit = true;
  const auto portions = season.portions();
  REQUIRE(portions.size() == 2);
  CHECK(portions[0].date == day("2027-05-30"));
  CHECK(portions[1].date == day("2027-05-30"));
  CHECK(season.value("grow.left") == 600);
}

TEST_CASE("own work of a picking has its plants, its time and its supplies") {
  Season season(picked(R"(
      do "Pick in flower" on day 14 within 2 days { rate 200 per hour  use 1 label each  tagged picking })"));
  const double first = std::ceil(season.portions().front().plants);
  CHECK(season.seconds("Pick in flower") == doctest::Approx(first / 200 * 3600));
  CHECK(season.seconds("Pick, 1 of 2") == -1);
  CHECK(season.value("grow.work1.use1") == first);
}

TEST_CASE("a picking that takes several days is the sum of what was noted on them") {
  Season season(picked());
  book::Batch& batch = season.book.book().batches.front();
  batch.done.push_back({"grow/1/1", day("2027-05-16"), {}, 300.0});
  batch.done.push_back({"grow/1/1.2", day("2027-05-17"), {}, 150.0});
  CHECK(season.value("grow.picked_1") == 450);
}

TEST_CASE("what stays is put together, in whole trays") {
  std::string text = picked();
  text.replace(text.find("space 50 plants per m2"), 22, "space ceil(plants / 72) trays");
  Season season(text);
  season.book.site().rooms["bench"].holds->quantity = *units::parse_quantity("100 trays");
  const double started = season.value("grow.plants");
  const double trays = std::ceil(started / 72);
  const RoomLoad bench = load_of(season.plan()).rooms.front();
  CHECK(bench.taken[13] == trays);
  CHECK(bench.taken[14] == std::ceil(trays * (1 - 0.97 * 0.6)));
}
