#include "results/compare_numbers.hpp"

#include <doctest/doctest.h>

#include "results/learn.hpp"
#include "seasons.hpp"

using namespace budwood;
using namespace budwood::results;
using namespace budwood::results::test;

namespace {

/// Jobs of two hours each, one a batch.
void work(Season& season, const std::string& by, const std::vector<double>& plants) {
  for (std::size_t i = 0; i < plants.size(); ++i) {
    const std::string id = by + std::to_string(i);
    season.batch(id);
    season.grafted(id, plants[i], by, 2);
  }
}

calendar::Day healing_began(Season& season) {
  const sheet::Row row = season.plan().row_of(season.plan().batches.front());
  return *row.known_day(row.cells(language::StageId(1)).start);
}

/// Trays of ten that come up by half on a day, and all but one four days later.
void rise(Season& season, const std::string& batch, int first_tray,
          const std::vector<int>& half_days) {
  const calendar::Day began = healing_began(season);
  for (std::size_t i = 0; i < half_days.size(); ++i) {
    const std::string tray = std::to_string(first_tray + static_cast<int>(i));
    const auto day = [&](int after) { return calendar::iso_date(began + after); };
    season.counted(batch, 0, 10, tray, day(1));
    season.counted(batch, 5, 10, tray, day(half_days[i]));
    season.counted(batch, 9, 10, tray, day(half_days[i] + 4));
  }
}

}  // namespace

TEST_CASE("who was faster, by Welch's test of jobs") {
  Season season;
  work(season, "Ana", {60, 64, 58, 62, 61});
  work(season, "Ben", {50, 49, 53, 47, 52});
  const auto all = compare_numbers(season.asked(), {Of::rate, By::person, ""}, {"Ben", "Ana"});
  REQUIRE(all.size() == 1);
  // scipy 1.10.1 ttest_ind(equal_var=False) of plants an hour, jobs being equally long.
  CHECK(all[0].first.value == doctest::Approx(25.1));
  CHECK(all[0].second.value == doctest::Approx(30.5));
  CHECK(all[0].p == doctest::Approx(7.9185e-05).epsilon(0.0001));
  CHECK(all[0].apart);
  CHECK_FALSE(all[0].first_more);
  CHECK(all[0].interval->high < 0);
}

TEST_CASE("one job says nothing of another") {
  Season season;
  work(season, "Ana", {60, 64});
  work(season, "Ben", {50});
  const auto all = compare_numbers(season.asked(), {Of::rate, By::person, ""}, {"Ana", "Ben"});
  REQUIRE(all.size() == 1);
  CHECK_FALSE(all[0].answered);
  CHECK_FALSE(all[0].apart);
  CHECK(compare_numbers(season.asked(), {Of::rate, By::person, ""}, {"Eva", "Tom"}).empty());
}

TEST_CASE("jobs that do not scatter at all give no test") {
  Season season;
  work(season, "Ana", {60, 60});
  work(season, "Ben", {50, 50});
  const auto all = compare_numbers(season.asked(), {Of::rate, By::person, ""}, {"Ana", "Ben"});
  REQUIRE(all.size() == 1);
  CHECK_FALSE(all[0].answered);
}

TEST_CASE("of two stages that are compared, one that is apart by itself is not after Holm") {
  Season season;
  const auto lived = [&](const std::string& variant, const std::vector<int>& grafting,
                         const std::vector<int>& healing) {
    for (std::size_t i = 0; i < healing.size(); ++i) {
      book::Batch& one = season.batch(variant + "B" + std::to_string(i), variant);
      const calendar::Day start = *calendar::parse_iso_date("2027-05-03");
      using Side = book::Pin::Side;
      const calendar::Day joined = start + grafting[i];
      one.pins.push_back({"grafting", Side::start, start, {}, true});
      one.pins.push_back({"grafting", Side::end, joined, {}, true});
      one.pins.push_back({"healing", Side::start, joined, {}, true});
      one.pins.push_back({"healing", Side::end, joined + healing[i], {}, true});
    }
  };
  lived("", {1, 1, 2, 1}, {20, 21, 22, 20});
  lived("clipped", {1, 2, 2, 1}, {24, 22, 25, 22});
  const auto all =
      compare_numbers(season.asked(), {Of::days, By::variant, ""}, {as_written, "clipped"});
  REQUIRE(all.size() == 2);
  const auto& healing = all[0].stage == "healing" ? all[0] : all[1];
  CHECK(healing.p < 0.05);
  CHECK(healing.p_adjusted == doctest::Approx(2 * healing.p));
  CHECK(healing.p_adjusted > 0.05);
  CHECK_FALSE(healing.apart);
}

TEST_CASE("groups of several books are one when they are compared") {
  Season here;
  work(here, "Ana", {60, 64, 58});
  work(here, "Ben", {50, 49, 53});
  Season there;
  work(there, "Ana", {62, 61});
  work(there, "Ben", {47, 52});
  std::vector<Asked> both = here.asked();
  both.push_back({"there", there.asked().front().plan});
  const auto all = compare_numbers(both, {Of::rate, By::person, ""}, {"Ana", "Ben"});
  REQUIRE(all.size() == 1);
  CHECK(all[0].first.units == 5);
  CHECK(all[0].p == doctest::Approx(7.9185e-05).epsilon(0.0001));
}

TEST_CASE("what came up sooner, by the lots of trays") {
  Season season;
  season.batch("A");
  season.batch("B", "clipped");
  rise(season, "A", 1, {8, 9, 8, 9, 10});
  rise(season, "B", 6, {4, 5, 4, 5, 4});
  const auto all = compare_courses(season.asked(), {Of::take, By::variant, ""},
                                   {"clipped", "as written"}, CurveOf::germination);
  REQUIRE(all.size() == 1);
  CHECK(all[0].first_more);
  CHECK(all[0].apart);
  REQUIRE(all[0].lots);
  CHECK(all[0].lots->lots == 252);
  CHECK(all[0].lots->as_large == 2);
  REQUIRE(all[0].log_rank);
  CHECK(all[0].log_rank->observed[0] == 45);
  CHECK(all[0].log_rank->p < all[0].p);  // of plants, as if each had luck of its own
  CHECK(all[0].first.value < all[0].second.value);
}

TEST_CASE("courses of one tray each rest on plants, and too few trays show nothing") {
  const auto ask = [](const std::vector<int>& a, const std::vector<int>& b) {
    Season season;
    season.batch("A");
    season.batch("B", "clipped");
    rise(season, "A", 1, a);
    rise(season, "B", 6, b);
    const auto all = compare_courses(season.asked(), {Of::take, By::variant, ""},
                                     {"clipped", "as written"}, CurveOf::germination);
    REQUIRE(all.size() == 1);
    return all.front();
  };
  const ComparedNumbers one = ask({8}, {4});
  CHECK(one.answered);
  CHECK_FALSE(one.lots);
  CHECK(one.p_method == "log-rank, from plants");
  const ComparedNumbers three = ask({8, 9, 8}, {4, 5, 4});
  REQUIRE(three.lots);
  CHECK(three.p == doctest::Approx(0.1));
  CHECK_FALSE(three.apart);
}

TEST_CASE("counts of a single day make no course") {
  Season season;
  season.batch("A");
  season.batch("B", "clipped");
  season.counted("A", 0, 10);
  season.counted("B", 0, 10);
  const auto all = compare_courses(season.asked(), {Of::take, By::variant, ""},
                                   {"clipped", "as written"}, CurveOf::germination);
  REQUIRE(all.size() == 1);
  CHECK_FALSE(all[0].answered);
}

TEST_CASE("four groups differ, and no two of them after Holm") {
  // RS-74: Fleiss 1981 in R help prop.test: 83/86, 90/93, 129/136, 70/82; chi-square 12.60, p =
  // 0.0056; Fisher with Holm at least 0.075.
  Season season;
  const std::vector<std::pair<int, int>> counts = {{83, 86}, {90, 93}, {129, 136}, {70, 82}};
  std::vector<NamedPair> pairs;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    const std::string id = "B" + std::to_string(i);
    season.batch(id);
    season.counted(id, counts[i].first, counts[i].second);
    for (std::size_t j = 0; j < i; ++j) pairs.emplace_back("B" + std::to_string(j), id);
  }
  const Question question{Of::take, By::batch, ""};
  const auto together = compare_together(season.asked(), question);
  REQUIRE(together.size() == 1);
  CHECK(together[0].groups == 4);
  CHECK_FALSE(together[0].from_trays);
  CHECK(together[0].test->chi_square == doctest::Approx(12.6004).epsilon(0.0001));
  CHECK(together[0].test->p == doctest::Approx(0.005585).epsilon(0.001));
  double smallest = 1;
  for (const Compared& one : compare(season.asked(), question, pairs)) {
    smallest = std::min(smallest, one.p_adjusted);
    CHECK(one.verdict == Verdict::unsure);
  }
  CHECK(smallest == doctest::Approx(0.074968).epsilon(0.001));
}

TEST_CASE("two groups are not told together, and trays are respected where all have them") {
  Season season;
  int tray = 0;
  const auto add = [&](const std::string& id, const std::vector<int>& alive) {
    season.batch(id);
    for (const int one : alive) season.counted(id, one, 24, std::to_string(++tray));
  };
  add("A", {10, 20, 12, 22});
  add("B", {14, 22, 11, 23});
  const Question question{Of::take, By::batch, ""};
  CHECK(compare_together(season.asked(), question).empty());
  add("C", {20, 23, 15, 24});
  const auto together = compare_together(season.asked(), question);
  REQUIRE(together.size() == 1);
  CHECK(together[0].from_trays);
  CHECK(together[0].test->p > 0.05);  // of plants alone it would be 0.005
}

TEST_CASE("whether batches differ by more than luck is told of what is learned") {
  const auto by_luck = [](const std::vector<int>& alive) {
    Season season;
    int number = 0;
    for (const int one : alive) {
      const std::string id = "B" + std::to_string(++number);
      season.batch(id);
      season.counted(id, one, 50);
    }
    return learn(season.asked()).front().batches_by_luck;
  };
  // RS-13: dishes of Mead, Curnow & Hasted 2002, p. 350-351: Tarone's p = 0.111.
  CHECK(by_luck({19, 30, 21, 29}).value_or(0) == doctest::Approx(0.1109).epsilon(0.001));
  CHECK(by_luck({5, 45, 10, 40}).value_or(1) < 0.001);
  CHECK_FALSE(by_luck({30}).has_value());
}

TEST_CASE("a trial that was changed after its trays were drawn is no group among others") {
  Season season;
  for (const char* id : {"A", "B", "C"}) {
    season.batch(id);
    season.counted(id, 12, 24, id + std::string("1"));
    season.counted(id, 15, 24, id + std::string("2"));
  }
  const Question question{Of::take, By::batch, ""};
  REQUIRE(compare_together(season.asked(), question).size() == 1);
  book::Trial trial;  // that gives its arm no tray
  trial.name = "T";
  trial.arm = "clip";
  season.book().batches.back().trial = trial;
  CHECK(compare_together(season.asked(), question).empty());
}
