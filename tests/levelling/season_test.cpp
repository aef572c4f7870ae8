#include "levelling/season/season.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <random>

using namespace budwood::levelling;

namespace {

/// Some batches of two stages each in two rooms, with a crew that has work at the start of the
/// second stage and may do it a day later.
struct RandomSeason {
  Problem problem;
  std::vector<Day> wanted;
};

RandomSeason random_season(std::mt19937& random, std::uint32_t batches) {
  const auto pick = [&](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  RandomSeason out;
  Problem& p = out.problem;
  p.resources = {{5, 0, {}, false}, {4, 0, {}, false}, {3, 0, {}, true}};
  p.resources[2].first = 100;
  for (int day = 0; day < 30; ++day) p.resources[2].by_day.push_back(pick(1, 5));
  p.objectives.resize(2);
  for (GroupId g = 0; g < batches; ++g) {
    const Day start = 100 + pick(0, 4);
    const int length = pick(1, 3);
    const int wait = pick(0, 2);
    const int second = pick(1, 3);
    const auto point = static_cast<PointId>(p.points.size());
    out.wanted.insert(out.wanted.end(), {start, start + length, start + length + second});
    for (PointId i = 0; i < 3; ++i) {
      const Day today = out.wanted[point + i];
      p.points.push_back({today - pick(0, 2), today + pick(0, 2), nullptr, g});
    }
    p.lags.push_back({point, point + 1, length});
    p.lags.push_back({point + 1, point, -(length + wait)});
    p.lags.push_back({point + 1, point + 2, second});
    p.lags.push_back({point + 2, point + 1, -second});
    p.uses.push_back({0, pick(1, 3), {point, 0}, {point + 1, 0}});
    p.uses.push_back({1, pick(1, 3), {point + 1, 0}, {point + 2, pick(0, 1)}});
    Use work{2, pick(1, 3), {point + 1, 0}, {point + 1, 1}};
    work.slack = pick(0, 1);
    work.apart = 1;
    p.uses.push_back(work);
    p.objectives[0].push_back({point + 2, out.wanted[point + 2], 1, 0});
    p.objectives[1].push_back({point, out.wanted[point], 1, 1});
    p.objectives[1].push_back({point + 1, out.wanted[point + 1], 1, 1});
  }
  return out;
}

/// Tries every schedule.
class AllSchedules {
 public:
  explicit AllSchedules(const Problem& problem) : problem_(problem) {
    schedule_.days.resize(problem.points.size());
    schedule_.slips.assign(problem.uses.size(), 0);
  }
  std::optional<std::vector<Cost>> best() {
    choose_day(0);
    return best_;
  }

 private:
  void choose_day(PointId p) {
    if (p == problem_.points.size()) return choose_slip(0);
    for (Day day = problem_.points[p].earliest; day <= problem_.points[p].latest; ++day) {
      schedule_.days[p] = day;
      if (meets_lags(p)) choose_day(p + 1);
    }
  }
  bool meets_lags(PointId last) const {
    return std::all_of(problem_.lags.begin(), problem_.lags.end(), [&](const Lag& lag) {
      return lag.from > last || lag.to > last ||
             schedule_.days[lag.to] >= schedule_.days[lag.from] + lag.days;
    });
  }
  void choose_slip(std::size_t use) {
    if (use == problem_.uses.size()) {
      if (broken(problem_, schedule_)) return;
      const std::vector<Cost> costs = cost_of(problem_, schedule_);
      if (!best_ || costs < *best_) best_ = costs;
      return;
    }
    for (Day slip = 0; slip <= problem_.uses[use].slack; ++slip) {
      schedule_.slips[use] = slip;
      choose_slip(use + 1);
    }
    schedule_.slips[use] = 0;
  }

  const Problem& problem_;
  Schedule schedule_;
  std::optional<std::vector<Cost>> best_;
};

}  // namespace

TEST_CASE("small random seasons come close to the best of all schedules") {
  std::mt19937 random(20270301);
  int solvable = 0;
  int placed = 0;
  int best = 0;
  int proven = 0;
  for (int run = 0; run < 300; ++run) {
    const RandomSeason season = random_season(random, 3);
    const auto least = AllSchedules(season.problem).best();
    SeasonOptions options;
    options.wanted = season.wanted;
    options.rounds = 300;
    const Season found = level_season(season.problem, options);
    const bool all =
        std::all_of(found.placed.begin(), found.placed.end(), [](bool p) { return p; });
    if (all) {
      CHECK_MESSAGE(!broken(season.problem, found.schedule), "run ", run);
      REQUIRE(least);
      CHECK(found.standing.costs == cost_of(season.problem, found.schedule));
      CHECK(found.standing.costs >= *least);
      CHECK(found.bound[0] <= (*least)[0]);
    }
    proven += found.proven_too_much.empty() ? 0 : 1;
    if (!least) continue;
    CHECK(found.proven_too_much.empty());
    CHECK(found.bound <= *least);
    ++solvable;
    placed += all ? 1 : 0;
    best += all && found.standing.costs == *least ? 1 : 0;
  }
  MESSAGE(solvable << " solvable, " << placed << " placed, " << best << " best");
  CHECK(solvable > 100);
  CHECK(placed >= solvable * 9 / 10);
  CHECK(best >= solvable * 95 / 100);
  CHECK(proven > 100);
}

namespace {

/// Batches with three works, five days apart or up to two more, for two people who rest on two days
/// of seven; four batches begin on each day of five, so that in some weeks most works fall
/// together.
RandomSeason crowded_weeks(std::mt19937& random, GroupId batches) {
  RandomSeason out;
  Problem& p = out.problem;
  p.resources.resize(3);
  for (Resource& crew : p.resources) {
    for (int day = 0; day < 200; ++day) crew.by_day.push_back(day % 7 < 5 ? 60 : 0);
  }
  p.objectives.resize(1);
  for (GroupId g = 0; g < batches; ++g) {
    const auto day = static_cast<Day>(g / 20 * 7 + g % 5);
    const auto point = static_cast<PointId>(p.points.size());
    const auto amount = static_cast<Amount>(5 + random() % 16);
    for (PointId i = 0; i < 3; ++i) {
      const Day today = day + static_cast<Day>(5 * i);
      out.wanted.push_back(today);
      p.points.push_back({today, today + 40, nullptr, g});
      p.uses.push_back({i, amount, {point + i, 0}, {point + i, 1}});
    }
    for (PointId i = 0; i < 2; ++i) {
      p.lags.push_back({point + i, point + i + 1, 5});
      p.lags.push_back({point + i + 1, point + i, -7});
    }
    p.objectives[0].push_back({point + 2, out.wanted.back(), 1, 0});
  }
  return out;
}

}  // namespace

TEST_CASE("where all have to move together they are not much later than they must") {
  std::mt19937 random(11);
  for (int run = 0; run < 5; ++run) {
    const RandomSeason season = crowded_weeks(random, 200);
    SeasonOptions options;
    options.wanted = season.wanted;
    options.rounds = 1000;
    const Season found = level_season(season.problem, options);
    CHECK(found.standing.unplaced == 0);
    CHECK_FALSE(broken(season.problem, found.schedule));
    CHECK(found.standing.costs == cost_of(season.problem, found.schedule));
    CHECK(100 * found.standing.costs[0] <= 112 * found.bound[0]);
  }
}

TEST_CASE("what moves together keeps to bonds between batches, to days of work and to what stays") {
  std::mt19937 random(12);
  budwood::calendar::DaySet every_other;  // of the days of work
  for (Day day = 0; day < 200; ++day) {
    if (day % 7 < 5 && day % 7 % 2 == 0) every_other.insert(day);
  }
  for (int run = 0; run < 5; ++run) {
    RandomSeason season = crowded_weeks(random, 200);
    Problem& p = season.problem;
    for (GroupId g = 0; g + 1 < 200; ++g) {
      const PointId first = 3 * g;
      if (g % 4 == 0) {
        Use& last = p.uses[first + 2];
        last.slack = 2;
        last.starts = &every_other;
        last.apart = 1;
      }
      if (g % 25 == 9) {  // on three days of work
        for (PointId i = 0; i < 3; ++i) p.points[first + i].latest = p.points[first + i].earliest;
      }
      if (g % 30 == 11)
        p.lags.push_back({first, first + 3, season.wanted[first + 3] - season.wanted[first]});
    }
    SeasonOptions options;
    options.wanted = season.wanted;
    options.rounds = 1000;
    const Season found = level_season(p, options);
    CHECK(found.standing.unplaced == 0);
    CHECK_FALSE(broken(p, found.schedule));
    CHECK(found.standing.costs == cost_of(p, found.schedule));
    CHECK(found.standing.costs[0] < found.first.costs[0]);
    CHECK(found.bound[0] <= found.standing.costs[0]);
  }
}

TEST_CASE("the same seed gives the same schedule, and improvement never makes it worse") {
  std::mt19937 random(7);
  const RandomSeason season = random_season(random, 12);
  SeasonOptions options;
  options.wanted = season.wanted;
  options.rounds = 200;
  const Season one = level_season(season.problem, options);
  const Season two = level_season(season.problem, options);
  CHECK(one.schedule.days == two.schedule.days);
  CHECK(one.schedule.slips == two.schedule.slips);
  CHECK(one.standing.unplaced <= one.first.unplaced);
}

TEST_CASE("a group that cannot move takes what it needs, enough or not") {
  Problem p;
  p.resources = {{2, 0, {}, false}};
  p.points = {{10, 10, nullptr, 0}, {10, 14, nullptr, 1}};
  p.uses = {{0, 3, {0, 0}, {0, 2}}, {0, 2, {1, 0}, {1, 1}}};
  p.objectives = {{{1, 10, 1, 0}}};
  SeasonOptions options;
  options.wanted = {10, 10};
  const Season found = level_season(p, options);
  CHECK(found.placed == std::vector<bool>{true, true});
  CHECK(found.schedule.days == std::vector<Day>{10, 12});
  CHECK(found.bound == std::vector<Cost>{2});
}

TEST_CASE("a group that finds no place stands where it is short of least") {
  Problem p;
  p.resources = {{2, 0, {2, 1, 2}, false}};
  p.points = {{0, 2, nullptr, 0}};
  p.uses = {{0, 3, {0, 0}, {0, 1}}};
  p.objectives = {{{0, 1, 1, 1}}};
  SeasonOptions options;
  options.wanted = {1};
  const Season found = level_season(p, options);
  CHECK(found.placed == std::vector<bool>{false});
  CHECK(found.dated == std::vector<bool>{true});
  CHECK(found.schedule.days[0] != 1);
  CHECK(found.standing.missing == 333);
}

TEST_CASE("work slips to a day with enough people, or is left out when nobody comes") {
  budwood::calendar::DaySet working = budwood::calendar::DaySet::between(0, 1);
  working.insert(4);
  Problem p;
  p.resources = {{1, 0, {}, false}};
  p.points = {{0, 0, nullptr, 0}, {0, 0, nullptr, 1}, {2, 2, nullptr, 2}};
  Use first{0, 1, {0, 0}, {0, 1}};
  Use second{0, 1, {1, 0}, {1, 1}};
  second.slack = 1;
  second.starts = &working;
  Use third{0, 1, {2, 0}, {2, 1}};
  third.slack = 1;
  third.starts = &working;
  third.optional = true;
  p.uses = {first, second, third};
  SeasonOptions options;
  options.wanted = {0, 0, 2};
  const Season found = level_season(p, options);
  CHECK(found.placed == std::vector<bool>{true, true, true});
  CHECK(found.schedule.slips == std::vector<Day>{0, 1, left_out});
  CHECK_FALSE(broken(p, found.schedule));
}

namespace {

/// Batches that stand for five days in a room that holds one of them, ready on day 10 or later.
Problem one_room(std::uint32_t batches, Day latest) {
  Problem p;
  p.resources = {{1, 0, {}, false}};
  p.objectives.resize(1);
  for (GroupId g = 0; g < batches; ++g) {
    p.points.push_back({10, latest, nullptr, g});
    p.uses.push_back({0, 1, {g, -5}, {g, 0}});
    p.objectives[0].push_back({g, 10, 1, 0});
  }
  return p;
}

Season level(const Problem& p, std::uint64_t rounds, std::vector<GroupId> order = {}) {
  SeasonOptions options;
  for (const Point& point : p.points) options.wanted.push_back(point.earliest);
  options.order = std::move(order);
  options.rounds = rounds;
  return level_season(p, options);
}

}  // namespace

TEST_CASE("two batches in a room that holds one: the second waits, and no schedule costs less") {
  const Problem p = one_room(2, 20);
  const Season found = level(p, 0);
  CHECK(found.schedule.days == std::vector<Day>{10, 15});
  CHECK(found.standing.costs == std::vector<Cost>{5});
  // Each alone costs nothing; together they are proven to cost five days.
  CHECK(found.bound == std::vector<Cost>{5});
}

TEST_CASE("what cannot move costs what it does, and that is proven as well") {
  Problem p = one_room(3, 25);
  const Cost late = 7;
  p.points[0].earliest = p.points[0].latest = 10 + late;
  const Season found = level(p, 100);
  CHECK_FALSE(broken(p, found.schedule));
  CHECK(found.standing.costs.front() > late);
  CHECK(found.bound == found.standing.costs);
}

TEST_CASE("who is first in the order stays, the other moves") {
  const Season found = level(one_room(2, 20), 0, {1, 0});
  CHECK(found.schedule.days == std::vector<Day>{15, 10});
}

TEST_CASE("one without a place pushes aside another that has other days") {
  Problem p;
  p.resources = {{1, 0, {}, false}};
  p.points = {{0, 1, nullptr, 0}, {0, 0, nullptr, 1}};
  p.uses = {{0, 1, {0, 0}, {0, 1}}, {0, 1, {1, 0}, {1, 1}}};
  p.objectives = {{{0, 0, 1, 0}}};
  SeasonOptions options;
  options.wanted = {0, 0};
  options.order = {0, 1};
  const Season found = level_season(p, options);
  CHECK(found.placed == std::vector<bool>{true, true});
  CHECK(found.schedule.days == std::vector<Day>{1, 0});
}

TEST_CASE("a season of days that do fit is placed whole, without a round of improvement") {
  std::mt19937 random(3);
  const auto pick = [&](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  constexpr int batches = 400, stages = 4, crews = 3;
  Problem p;
  SeasonOptions options;
  std::map<std::pair<ResourceId, Day>, Amount> taken;
  for (GroupId g = 0; g < batches; ++g) {
    Day day = pick(0, 60);
    for (int s = 0; s < stages; ++s) {
      const auto point = static_cast<PointId>(p.points.size());
      const Day wanted = day + pick(-3, 3);
      options.wanted.push_back(wanted);
      p.points.push_back({wanted - 3, wanted + 3, nullptr, g});
      if (s > 0) p.lags.push_back({point - 1, point, 1});
      const auto crew = static_cast<ResourceId>(pick(0, crews - 1));
      const Amount amount = pick(1, 9);
      p.uses.push_back({crew, amount, {point, 0}, {point, 1}});
      taken[{crew, day}] += amount;
      day += pick(4, 7);
    }
  }
  // As much is there as is taken on the fullest of the days that were drawn.
  for (ResourceId r = 0; r < crews; ++r) {
    Amount most = 0;
    for (const auto& [place, amount] : taken) {
      if (place.first == r) most = std::max(most, amount);
    }
    p.resources.push_back({most, 0, {}, false});
  }
  p.objectives.resize(2);
  for (PointId point = 0; point < p.points.size(); ++point) {
    p.objectives[1].push_back({point, options.wanted[point], 1, 1});
  }
  const Season found = level_season(p, options);
  CHECK(std::count(found.placed.begin(), found.placed.end(), false) == 0);
  CHECK_FALSE(broken(p, found.schedule));
}

TEST_CASE("batches that cannot all be placed are named") {
  const Season found = level(one_room(3, 15), 100);
  CHECK(found.standing.unplaced == 1);
  REQUIRE(found.proven_too_much.size() == 1);
  std::vector<GroupId> groups = found.proven_too_much[0];
  std::sort(groups.begin(), groups.end());
  CHECK(groups == std::vector<GroupId>{0, 1, 2});
}

TEST_CASE("the turnover of a room keeps the next batch out for its days") {
  Problem p = one_room(2, 20);
  for (Use& use : p.uses) use.to.offset = 2;
  CHECK(level(p, 0).schedule.days == std::vector<Day>{10, 17});
}

TEST_CASE("a use across a day without room waits until that day has passed") {
  Problem p = one_room(1, 20);
  p.resources[0].first = 8;
  p.resources[0].by_day = {0};
  CHECK(level(p, 0).schedule.days == std::vector<Day>{14});
}

TEST_CASE("a maximum wait that breaks takes the stage before along") {
  Problem p;
  p.resources = {{1, 0, {0, 0, 0}, false}};  // none on days 0 to 2
  p.resources[0].first = 0;
  p.points = {{0, 9, nullptr, 0}, {0, 9, nullptr, 0}};
  p.lags = {{0, 1, 1}, {1, 0, -2}};
  p.uses = {{0, 1, {1, 0}, {1, 1}}};
  p.objectives = {{{0, 0, 1, 0}}};
  const Season found = level(p, 0);
  CHECK(found.placed == std::vector<bool>{true});
  CHECK(found.schedule.days == std::vector<Day>{1, 3});
}

TEST_CASE("what cannot be dated at all takes no room, and makes no false proof") {
  // Batch 0 contradicts itself. The other two share the room: one of them is a day late.
  Problem p;
  p.resources = {{1, 0, {}, false}};
  p.points = {
      {10, 10, nullptr, 0}, {10, 10, nullptr, 0}, {10, 11, nullptr, 1}, {10, 11, nullptr, 2}};
  p.lags = {{0, 1, 1}};
  p.uses = {{0, 1, {0, 0}, {0, 1}}, {0, 1, {2, 0}, {2, 1}}, {0, 1, {3, 0}, {3, 1}}};
  p.objectives = {{{2, 10, 1, 0}, {3, 10, 1, 0}}};
  const Season found = level(p, 0);
  CHECK(found.dated == std::vector<bool>{false, true, true});
  CHECK(found.placed == std::vector<bool>{false, true, true});
  CHECK(found.proven_too_much.empty());
  CHECK(found.bound == std::vector<Cost>{1});
}

TEST_CASE("a batch whose own works stand in each other's way goes on to later days") {
  // One person, nobody on day 1. On day 0 the second work finds nobody beside the first.
  Problem p;
  p.resources = {{1, 0, {1, 0, 1, 1}, false}};
  p.points = {{0, 3, nullptr, 0}};
  Use first{0, 1, {0, 0}, {0, 1}};
  Use second = first;
  second.slack = 1;
  p.uses = {first, second};
  p.objectives = {{{0, 0, 1, 0}}};
  const Season found = level(p, 0);
  CHECK(found.placed == std::vector<bool>{true});
  CHECK(found.schedule.days == std::vector<Day>{2});
  CHECK(found.schedule.slips == std::vector<Day>{0, 1});
}
