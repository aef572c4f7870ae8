#include "sheet/site/daily_totals.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <random>

#include "sample.hpp"
#include "sheet/site/site_sheets.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

TEST_CASE("totals do not depend on the order in which amounts come and go") {
  std::mt19937 engine(5);
  struct Amount {
    Day first, end;
    double amount;
  };
  std::vector<Amount> amounts;
  for (int i = 0; i < 500; ++i) {
    const auto first = static_cast<Day>(20'000 + engine() % 300);
    const auto end = static_cast<Day>(first + 1 + static_cast<Day>(engine() % 40));
    amounts.push_back({first, end, static_cast<double>(engine()) / 977.0});
  }
  const Resource bench{Resource::Kind::room, "bench", units::count, "trays"};
  DailyTotals one;
  DailyTotals other;
  CHECK(one.number_of(bench) == 0);
  CHECK(one.number_of(bench) == 0);
  CHECK(other.number_of(bench) == 0);
  for (const Amount& a : amounts) one.take(0, a.first, a.end, a.amount);
  std::shuffle(amounts.begin(), amounts.end(), engine);
  for (const Amount& a : amounts) {
    other.take(0, a.first, a.end, a.amount);
    other.take(0, a.first - 400, a.end, a.amount / 3);
  }
  for (const Amount& a : amounts) other.give_back(0, a.first - 400, a.end, a.amount / 3);
  const DailyTotals::Profile a = one.profile(0);
  const DailyTotals::Profile b = other.profile(0);
  CHECK(a.first == b.first);
  CHECK(a.days == b.days);
  for (std::size_t i = 0; i < a.days.size(); ++i) {
    const Day day = a.first + static_cast<Day>(i);
    CHECK(one.on(0, day) == a.days[i]);
    double sum = 0;
    for (const Amount& amount : amounts) {
      if (amount.first <= day && day < amount.end) sum += amount.amount;
    }
    CHECK(a.days[i] == doctest::Approx(sum).epsilon(1e-9));
  }
  CHECK(one.on(0, 100) == 0);
  CHECK(one.on(0, 80'000) == 0);
}

TEST_CASE("a site of very many rooms has a number for each at once") {
  DailyTotals totals;
  constexpr std::uint32_t rooms = 200'000;
  const auto room = [](std::uint32_t i, const char* noun) {
    return Resource{Resource::Kind::room, "r" + std::to_string(i), units::count, noun};
  };
  const auto begin = std::chrono::steady_clock::now();
  for (std::uint32_t i = 0; i < rooms; ++i) {
    if (totals.number_of(room(i, "trays")) != i) FAIL("another number");
  }
  for (std::uint32_t i = 0; i < rooms; ++i) {
    if (totals.find(Resource::Kind::room, "r" + std::to_string(i)) != i) FAIL("not found");
  }
  CHECK(std::chrono::steady_clock::now() - begin < std::chrono::seconds(10));
  // A room in two units is two; the first is the one that is found.
  CHECK(totals.number_of(room(7, "pots")) == rooms);
  CHECK(totals.number_of(room(7, "pots")) == rooms);
  CHECK(totals.find(Resource::Kind::room, "r7") == 7);
  CHECK_FALSE(totals.find(Resource::Kind::crew, "r7"));
}

TEST_CASE("rooms, crews and supplies are taken on the days on which they are") {
  // Sown on a Monday, in the germination room for five days, then on the bench until it is ready.
  const Sample sample(
      "protocol p {\n"
      "  supply mix in L\n"
      "  supply tray in trays reused\n"
      "  part a\n"
      "  stage sow of a {\n"
      "    lasts 5 days\n"
      "    room warm\n"
      "    space ceil(plants / 100) trays\n"
      "    do \"Sow\" { time 2 h crew sowing use 3 L mix use 1 tray per 100 until sow.end }\n"
      "  }\n"
      "  stage grow of a {\n"
      "    lasts 3 days\n"
      "    room bench\n"
      "    space (plants / 100) m2\n"
      "    may wait 4 days\n"
      "    do \"Water\" every 1 day { time 30 min }\n"
      "  }\n"
      "}\n");
  const Day monday = *calendar::day_of({2029, 3, 5});
  std::vector<Sheet> all;
  all.push_back(sample.sheet({{.plants = 250, .start = monday}}));
  const SiteSheets sheets(std::move(all));
  const DailyTotals& totals = sheets.totals();
  const auto profile = [&](Resource::Kind kind, const char* name) {
    const auto number = totals.find(kind, name);
    REQUIRE(number);
    return totals.profile(*number);
  };
  using Days = std::vector<double>;
  CHECK(profile(Resource::Kind::room, "warm").days == Days(5, 3.0));
  CHECK(profile(Resource::Kind::room, "warm").first == monday);
  CHECK(profile(Resource::Kind::room, "bench").days == Days(3, 2.5));
  CHECK(profile(Resource::Kind::room, "bench").first == monday + 5);
  CHECK(profile(Resource::Kind::crew, "sowing").days == Days{7200});
  CHECK(profile(Resource::Kind::crew, "").days == Days(3, 1800.0));
  CHECK(profile(Resource::Kind::supply, "mix").days.size() == 1);
  CHECK(profile(Resource::Kind::supply, "mix").days[0] == doctest::Approx(0.003));
  CHECK(profile(Resource::Kind::supply, "tray").days == Days(5, 3.0));
}

TEST_CASE("a total says what it lacks") {
  const Sample sample(
      "protocol p { input share = 10 from 0 to 20 part a\n"
      "  stage s of a { lasts 4 days room bench space plants / share m2 } }");
  const Day day = *calendar::day_of({2029, 3, 5});
  std::vector<Sheet> all;
  all.push_back(sample.sheet({{.plants = 30, .ready = day}, {.plants = 50, .ready = day}}));
  SiteSheets sheets(std::move(all));
  const auto bench = sheets.totals().find(Resource::Kind::room, "bench");
  REQUIRE(bench);
  CHECK(sheets.totals().on(*bench, day - 1) == 8);
  CHECK(sheets.totals().missing(*bench) == 0);
  REQUIRE(sheets.apply(SetInput{{0, 0}, sample.cell("share"), 0.0}).empty());
  CHECK(sheets.totals().on(*bench, day - 1) == 5);
  CHECK(sheets.totals().missing(*bench) == 1);
  CHECK(sheets.undo());
  CHECK(sheets.totals().on(*bench, day - 1) == 8);
  CHECK(sheets.totals().missing(*bench) == 0);
}
