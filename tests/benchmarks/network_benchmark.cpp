// How long plans, explanations and controllability take. Sizes are stages of a protocol with two
// parts that join; points_per_us and the pairs of rows side by side are what to compare between
// versions.
#include <benchmark/benchmark.h>

#include <vector>

#include "differences.hpp"
#include "network/network.hpp"

using namespace budwood;
using namespace budwood::network;

namespace {

const calendar::DaySet& working_days() {
  using enum calendar::Weekday;
  static const calendar::WorkingDays working({monday, tuesday, wednesday, thursday, friday}, {});
  return working.days();
}

/// Two parts of a quarter of the stages each, then the joined plant; work that needs people at
/// every third start, a limit over every fifth run of four stages.
Network protocol(int stages) {
  Network network;
  std::vector<PointId> starts, ends;
  const int part = stages / 4;
  for (int i = 0; i < stages; ++i) {
    starts.push_back(network.add_point(i % 3 == 0 ? &working_days() : nullptr));
    ends.push_back(network.add_point());
    network.add_link(starts[i], ends[i], 3 + i % 11, 3 + i % 11);
    const bool first = i == 0 || i == part;
    if (!first) network.add_link(ends[i - 1], starts[i], 0, 3);
    if (i == 2 * part && part > 0) network.add_link(ends[part - 1], starts[i], 0, 3);
    if (i % 5 == 4 && i % part > 3) network.add_link(starts[i - 4], ends[i], {}, 80);
  }
  network.set_not_after(ends.back(), *calendar::day_of({2190, 5, 10}));
  return network;
}

void latest_plan(benchmark::State& state) {
  const Network network = protocol(static_cast<int>(state.range(0)));
  Solver solver;
  std::vector<Day> days;
  bool planned = true;
  for (auto _ : state) {
    planned = solver.latest(network, days) && planned;
    benchmark::DoNotOptimize(days.data());
  }
  if (!planned) state.SkipWithError("no plan");
  state.counters["points"] = static_cast<double>(network.point_count());
  state.counters["links"] = static_cast<double>(network.link_count());
}
BENCHMARK(latest_plan)
    ->Arg(20)
    ->Arg(40)
    ->Arg(100)
    ->Arg(1000)
    ->Arg(5000)
    ->Unit(benchmark::kMicrosecond);

/// The same dates without sets of days, by Boost.Graph's Bellman-Ford from both sides.
void ranges_by_boost_graph(benchmark::State& state) {
  const Network network = protocol(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(date_ranges(network));
}
BENCHMARK(ranges_by_boost_graph)->Arg(20)->Arg(40)->Arg(100)->Unit(benchmark::kMicrosecond);

/// A batch that started too late to be ready in time.
Network contradictory_protocol(int stages) {
  Network network = protocol(stages);
  Solver solver;
  std::vector<Day> days;
  if (solver.latest(network, days)) network.set_not_before(0, days[0] + 5);
  return network;
}

void conflict_at_once(benchmark::State& state) {
  const Network network = contradictory_protocol(static_cast<int>(state.range(0)));
  Solver solver;
  std::vector<Day> days;
  for (auto _ : state) benchmark::DoNotOptimize(solver.latest(network, days));
  state.counters["facts"] = static_cast<double>(solver.conflict().facts.size());
}
BENCHMARK(conflict_at_once)->Arg(20)->Arg(40)->Arg(100)->Arg(1000)->Unit(benchmark::kMicrosecond);

void conflict_shortest(benchmark::State& state) {
  const Network network = contradictory_protocol(static_cast<int>(state.range(0)));
  Conflict conflict;
  for (auto _ : state) conflict = shortest_conflict(network);
  state.counters["facts"] = static_cast<double>(conflict.facts.size());
}
BENCHMARK(conflict_shortest)->Arg(20)->Arg(40)->Arg(100)->Arg(1000)->Unit(benchmark::kMicrosecond);

void conflict_repairs(benchmark::State& state) {
  const Network network = contradictory_protocol(static_cast<int>(state.range(0)));
  const Conflict conflict = shortest_conflict(network);
  for (auto _ : state) benchmark::DoNotOptimize(repairs(network, conflict));
}
BENCHMARK(conflict_repairs)->Arg(20)->Arg(40)->Arg(100)->Unit(benchmark::kMicrosecond);

/// A ring of links that misses by one day in all, with many others; nothing bounds any date.
void negative_cycle(benchmark::State& state) {
  const auto points = static_cast<PointId>(state.range(0));
  Network network;
  for (PointId i = 0; i < points; ++i) network.add_point();
  for (PointId i = 0; i < points; ++i) {
    const Day length = i == 0 ? 1 : 0;
    network.add_link(i, (i + 1) % points, length, length);
    network.add_link(i, (i * 7919 + 13) % points, -10, 20);
  }
  Solver solver;
  std::vector<Day> days;
  for (auto _ : state) benchmark::DoNotOptimize(solver.latest(network, days));
  state.counters["facts"] = static_cast<double>(solver.conflict().facts.size());
}
BENCHMARK(negative_cycle)->Arg(80)->Arg(1000)->Arg(10000)->Unit(benchmark::kMicrosecond);

void all_pairs(benchmark::State& state) {
  const Network network = protocol(static_cast<int>(state.range(0)));
  const auto differences = differences_of(network);
  for (auto _ : state) {
    benchmark::DoNotOptimize(minimal_network(network.point_count() + 1, differences));
  }
}
BENCHMARK(all_pairs)->Arg(20)->Arg(40)->Arg(100)->Unit(benchmark::kMillisecond);

/// The protocol with lengths that nature picks. `wait` days between stages are the grower's; with
/// few of them the parts cannot be made to meet.
Uncertain uncertain_protocol(int stages, Length wait) {
  Uncertain network;
  const auto part = static_cast<std::size_t>(stages / 4);
  network.points = 2 * static_cast<std::size_t>(stages);
  for (std::size_t i = 0; i < static_cast<std::size_t>(stages); ++i) {
    const auto shortest = static_cast<Length>(3 + i % 11);
    network.contingents.push_back(
        {2 * i, 2 * i + 1, shortest, shortest + static_cast<Length>(i % 3)});
    if (i != 0 && i != part) network.requirements.push_back({2 * i - 1, 2 * i, 0, wait});
    if (i == 2 * part) network.requirements.push_back({2 * part - 1, 2 * i, 0, wait});
    if (i >= 4) network.requirements.push_back({2 * i - 8, 2 * i + 1, std::nullopt, 100});
  }
  return network;
}

void controllable(benchmark::State& state) {
  const Uncertain network = uncertain_protocol(static_cast<int>(state.range(0)), 60);
  Verdict verdict;
  for (auto _ : state) verdict = check_controllability(network);
  if (!verdict.controllable) state.SkipWithError("not controllable");
}
BENCHMARK(controllable)->Arg(20)->Arg(50)->Arg(100)->Arg(200)->Unit(benchmark::kMicrosecond);

void not_controllable(benchmark::State& state) {
  const Uncertain network = uncertain_protocol(static_cast<int>(state.range(0)), 0);
  Verdict verdict;
  for (auto _ : state) verdict = check_controllability(network);
  if (verdict.controllable) state.SkipWithError("controllable");
  state.counters["named"] = static_cast<double>(verdict.conflict.size());
}
BENCHMARK(not_controllable)->Arg(20)->Arg(50)->Arg(100)->Arg(200)->Unit(benchmark::kMicrosecond);

}  // namespace
