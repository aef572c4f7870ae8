#include "sheet/dates/floats.hpp"

#include <map>

#include "sample.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/sheet.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

struct Task {
  std::string name;
  int length = 0;
  std::string after;  ///< the tasks it waits for, a letter each
};

/// Tasks as stages of a plan that is as early as it can be; the batch is ready when all are over.
std::map<std::string, int> floats_of(const std::vector<Task>& tasks) {
  DateLayout layout;
  network::Network network;
  std::map<char, std::int32_t> number;
  for (const Task& task : tasks) {
    number[task.name[0]] = static_cast<std::int32_t>(number.size());
    network.add_point();
    network.add_point();
  }
  const network::PointId ready = network.add_point();
  const auto link = [&](DateLink::Kind kind, std::uint32_t from, std::uint32_t to, int low,
                        std::optional<int> high, std::int32_t stage) {
    DateLink one;
    one.kind = kind;
    one.from = from;
    one.to = to;
    one.stage = stage;
    layout.links.push_back(one);
    network.add_link(from, to, low, high);
  };
  for (const Task& task : tasks) {
    const std::int32_t s = number[task.name[0]];
    const auto start = DateLayout::start_of(s);
    link(DateLink::Kind::length, start, start + 1, task.length, task.length, s);
    for (const char before : task.after) {
      link(DateLink::Kind::after, DateLayout::end_of(number[before]), start, 0, {}, s);
    }
    link(DateLink::Kind::finish, start + 1, ready, 0, {}, s);
    network.set_not_before(start, 1000);
    layout.order.push_back(s);
  }
  std::vector<network::Day> plan;
  network::Solver solver;
  REQUIRE(solver.earliest(network, plan));
  Floats floats(layout, network);
  std::map<std::string, int> out;
  const std::vector<std::optional<network::Day>> unpinned(network.point_count());
  const std::vector<int> found = floats.of(plan, unpinned);
  for (const Task& task : tasks) {
    out[task.name] = found[static_cast<std::size_t>(number[task.name[0]])];
  }
  return out;
}

int float_of(const Sample& sample, const Sheet& sheet, const std::string& stage) {
  return static_cast<int>(sample.value(sheet, stage + ".float"));
}

}  // namespace

// Heizer & Render, Operations Management, Milwaukee Paper example: slack B 1, D 1, F 6.
TEST_CASE("float: Milwaukee Paper") {
  CHECK(floats_of({{"A", 2, ""},
                   {"B", 3, ""},
                   {"C", 2, "A"},
                   {"D", 4, "B"},
                   {"E", 4, "C"},
                   {"F", 3, "C"},
                   {"G", 5, "DE"},
                   {"H", 2, "FG"}}) ==
        std::map<std::string, int>{
            {"A", 0}, {"B", 1}, {"C", 0}, {"D", 1}, {"E", 0}, {"F", 6}, {"G", 0}, {"H", 0}});
}

// Operations class slide set on the critical path method: late less early finish of each task.
TEST_CASE("float: eleven tasks") {
  CHECK(floats_of({{"A", 4, ""},
                   {"B", 6, "A"},
                   {"C", 3, "A"},
                   {"D", 6, "B"},
                   {"E", 14, "D"},
                   {"F", 5, "C"},
                   {"G", 2, "EF"},
                   {"H", 2, "G"},
                   {"I", 3, "G"},
                   {"J", 4, "HI"},
                   {"K", 2, "J"}}) == std::map<std::string, int>{{"A", 0},
                                                                 {"B", 0},
                                                                 {"C", 18},
                                                                 {"D", 0},
                                                                 {"E", 0},
                                                                 {"F", 18},
                                                                 {"G", 0},
                                                                 {"H", 1},
                                                                 {"I", 0},
                                                                 {"J", 0},
                                                                 {"K", 0}});
}

TEST_CASE("float: the latest plan leaves none but where closed days do") {
  const Sample sample(protocol(R"(
  stage sow of plant { lasts 4 days  may wait 3 days  do "Sow" on day 1 { crew all } }
  stage pot of plant { lasts 3 days  do "Pot" on day 1 { crew all } }
)"));
  // Ready on Sunday 9 May: handed over on Friday. Potting takes three days, so it starts on
  // Tuesday; sowing four days before that, on a Friday, and nothing is left over.
  const Sheet sheet = sample.sheet({ready_by("2027-05-09")}, weekdays());
  CHECK(shown(sample.value(sheet, "pot.start")) == "2027-05-04 Tue");
  CHECK(shown(sample.value(sheet, "sow.start")) == "2027-04-30 Fri");
  CHECK(float_of(sample, sheet, "sow") == 0);
  CHECK(float_of(sample, sheet, "pot") == 0);
  // With Friday closed sowing has to come a day earlier, and its plants wait a day.
  const Sheet closed = sample.sheet({ready_by("2027-05-09")}, weekdays({"2027-04-30"}));
  CHECK(shown(sample.value(closed, "sow.start")) == "2027-04-29 Thu");
  CHECK(float_of(sample, closed, "sow") == 1);
}

TEST_CASE("float: a late partner may use up the wait of the other, no more") {
  const Sample sample(protocol(R"(
  part stock  part graft
  stage grow of plant { lasts 10 days  may wait 2 days }
  stage root of stock { lasts 6 days  may wait 3 days }
  stage join joins plant with stock into graft { lasts 1 day  may wait 20 days }
  stage heal of graft { lasts 5 days  season 20 May to 30 May }
)"));
  // Healing starts on 30 May at the latest; joining comes up to 21 days before it.
  const Sheet sheet = sample.sheet({ready_by("2027-07-01")});
  CHECK(shown(sample.value(sheet, "heal.start")) == "2027-05-30 Sun");
  CHECK(shown(sample.value(sheet, "join.start")) == "2027-05-29 Sat");
  // Ready on 4 June; a day later would be another day, though 1 July was asked for.
  CHECK(float_of(sample, sheet, "heal") == 0);
  CHECK(float_of(sample, sheet, "join") == 0);
  CHECK(float_of(sample, sheet, "grow") == 0);
}
