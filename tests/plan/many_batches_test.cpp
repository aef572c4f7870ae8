#include <algorithm>
#include <tuple>

#include "plan/orders/contingencies.hpp"
#include "planned.hpp"

/// Hundreds of batches are worked out in pieces, on several cores.
using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// Work that is too much for its crew, an `if`, a rule that small batches miss, and a light sum of
/// which one thing is told for all batches together.
const std::string bench_protocol = R"(protocol plugs "Plugs" {
  part plug
  observe rot in % "What rots"
  advise batch.plants >= 300 else "It is small."
  stage sowing of plug {
    lasts 3 days
    room bench
    keep light_sum 6 mol/m2/day
    do "Sow" on day 1 { rate 40 per hour  crew growers }
  }
  stage growing of plug {
    lasts 21 days
    room bench
    do "Look" every 3 days from day 2 { time 10 min  crew growers  record rot in % }
    if rot > 5 % on day 14 { warn "Take out what rots." }
  }
})";

class PlugSeason : public Planned {
 public:
  PlugSeason() : Planned(bench_protocol) {
    book::Crew growers;
    growers.people = 1;
    growers.hours = 8 * 3600;
    site().crews["growers"] = growers;
  }
  void add_one(int i) {
    const calendar::Day day = *calendar::parse_iso_date("2027-03-01") + i * 7 % 200;
    add("B" + std::to_string(i), 100 + i * 37 % 900, calendar::iso_date(day));
    if (i % 50 == 3) book().batches.back().done.push_back({"sowing/1/9", day, {}, {}});
  }
};

/// All that a plan says of a batch, but for what is told once for all.
std::string told_of(const Plan& plan, const std::string& id) {
  std::string out;
  for (const WorkOrder& order : plan.orders) {
    if (plan.facts_of(plan.batches[order.batch]).id.value != id) continue;
    out += order_id(plan, order) + " " + calendar::iso_date(order.date) + " " +
           std::to_string(order.parts) + "\n";
    for (const std::string& text : contingency_notes(plan, order)) out += text + "\n";
  }
  for (const Conflict& one : plan.conflicts) {
    if (one.batch == id) out += one.code + " " + one.message + "\n";
  }
  for (const Note& one : plan.notes) {
    const bool for_all = one.message.find("light sum") != std::string::npos;
    if (one.batch == id && !for_all) out += one.message + "\n";
  }
  return out;
}

}  // namespace

TEST_CASE("a batch among hundreds comes to what it comes to alone") {
  constexpr int batches = 900;
  PlugSeason season;
  for (int i = 0; i < batches; ++i) season.add_one(i);
  const std::string problems = season.problems();
  const Plan& plan = season.plan();
  std::size_t orders = 0;
  for (int i = 0; i < batches; i += 41) {
    const std::string id = "B" + std::to_string(i);
    PlugSeason alone;
    alone.add_one(i);
    const std::string said = told_of(alone.plan(), id);
    CHECK(told_of(plan, id) == said);
    orders += alone.plan().orders.size();
    if (const std::string own = alone.problems(); !own.empty()) {
      CHECK(problems.find(own) != std::string::npos);
    }
  }
  CHECK(orders > 0);
  CHECK(problems.find("Batch `B3` has no order `sowing/1/9`") != std::string::npos);
  CHECK(problems.find("Batch `B853` has no order `sowing/1/9`") != std::string::npos);

  // In the order of the book: nothing shows where a piece ends.
  std::vector<std::uint32_t> noted;
  for (const Note& one : plan.notes) {
    if (one.message == "It is small.") {
      noted.push_back(static_cast<std::uint32_t>(std::stoi(one.batch.substr(1))));
    }
  }
  CHECK(noted.size() > 100);
  CHECK(std::is_sorted(noted.begin(), noted.end()));
  CHECK(std::is_sorted(plan.contingencies.begin(), plan.contingencies.end(),
                       [](const auto& one, const auto& other) {
                         return std::tuple(one.batch, one.stage, one.work, one.occurrence) <
                                std::tuple(other.batch, other.stage, other.work, other.occurrence);
                       }));
  CHECK(plan.contingencies.size() == batches);
}

TEST_CASE("what is told once for a room is told with the first batch that stands there") {
  PlugSeason season;
  for (int i = 0; i < 900; ++i) season.add_one(i);
  std::vector<std::string> told;
  for (const Note& one : season.plan().notes) {
    if (one.message.find("asks for a light sum") != std::string::npos) told.push_back(one.batch);
  }
  CHECK(told == std::vector<std::string>{"B0"});
}
