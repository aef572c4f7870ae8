// How long a season takes: the approach graft that ships, for many batches, from the book in memory
// to sorted work orders; how much of that is the sheet; and the program as a whole on one protocol.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <cstdlib>
#include <string>

#include "files/read.hpp"
#include "plan/plan.hpp"
#include "sheet/template/compile.hpp"

using namespace budwood;

namespace {

const language::Protocol& approach_graft() {
  static text::Sources sources;
  static const language::Protocol protocol = [] {
    text::Diagnostics diagnostics;
    const text::Source* source =
        files::read_text(BUDWOOD_PROTOCOLS "/approach_graft.bud", sources, diagnostics);
    return language::read(*source, diagnostics).protocols.front();
  }();
  return protocol;
}

book::Book season(int batches) {
  book::Book book;
  book.site.name.value = "Benchmark";
  book.site.working = calendar::WorkingDays(
      {calendar::Weekday::monday, calendar::Weekday::tuesday, calendar::Weekday::wednesday,
       calendar::Weekday::thursday, calendar::Weekday::friday},
      {});
  book.protocols.push_back(approach_graft());
  const calendar::Day first = *calendar::day_of({2027, 5, 3});
  constexpr int days_of_season = 300;
  for (int i = 0; i < batches; ++i) {
    book::Batch batch;
    batch.id.value = "B" + std::to_string(i);
    batch.protocol.value = "approach_graft";
    batch.plants.value = 100 + i % 400;
    batch.ready = book::Placed<calendar::Day>{first + i % days_of_season, {}};
    book.batches.push_back(std::move(batch));
  }
  return book;
}

double peak_megabytes() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

void expand_batches(benchmark::State& state) {
  const book::Book book = season(static_cast<int>(state.range(0)));
  std::size_t orders = 0;
  for (auto _ : state) {
    text::Diagnostics diagnostics;
    const plan::Plan plan = plan::make_plan(book, diagnostics);
    orders = plan.orders.size();
  }
  state.counters["orders"] = static_cast<double>(orders);
  state.counters["peak_MB"] = peak_megabytes();
}
BENCHMARK(expand_batches)->Arg(100)->Arg(10'000)->Unit(benchmark::kMillisecond);

void evaluate_sheet(benchmark::State& state) {
  text::Diagnostics diagnostics;
  sheet::Sheet sheet(sheet::compile(approach_graft(), diagnostics), sheet::Site{});
  for (int i = 0; i < state.range(0); ++i) {
    sheet::BatchFacts facts;
    facts.plants = 100 + i % 400;
    facts.ready = 20'000 + i % 300;
    sheet.add(facts);
  }
  for (auto _ : state) sheet.evaluate();
  state.counters["cells"] = static_cast<double>(sheet.layout().cells.size());
}
BENCHMARK(evaluate_sheet)->Arg(100)->Arg(10'000)->Unit(benchmark::kMillisecond);

/// The program from start to end, as a grower waits for it.
void check_as_a_process(benchmark::State& state) {
  const std::string command =
      BUDWOOD_PROGRAM " check " BUDWOOD_PROTOCOLS "/approach_graft.bud > /dev/null";
  for (auto _ : state) {
    if (std::system(command.c_str()) != 0) state.SkipWithError("the check failed");
  }
}
BENCHMARK(check_as_a_process)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
