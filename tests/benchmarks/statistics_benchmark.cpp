/// How long it takes to say how many to start. The aim: 100 000 batches in less than a second on
/// one core. Counting up from the order, tail by tail, stands beside it for comparison.
#include <benchmark/benchmark.h>

#include <cstdint>
#include <random>
#include <vector>

#include "statistics/statistics.hpp"

namespace {

using namespace budwood::statistics;

struct Batch {
  std::int64_t plants;
  double share;
};

std::vector<Batch> batches(std::size_t number, std::int64_t most_plants) {
  std::mt19937 random(20270314);
  std::uniform_int_distribution<std::int64_t> plants(1, most_plants);
  std::uniform_real_distribution<double> share(0.4, 0.99);
  std::vector<Batch> all(number);
  for (Batch& batch : all) batch = {plants(random), share(random)};
  return all;
}

void assurance_of_100000_batches(benchmark::State& state) {
  const auto all = batches(100'000, state.range(0));
  for (auto _ : state) {
    std::int64_t sum = 0;
    for (const Batch& batch : all) sum += *smallest_start(batch.plants, batch.share, 0.95);
    benchmark::DoNotOptimize(sum);
  }
}
BENCHMARK(assurance_of_100000_batches)
    ->Unit(benchmark::kMillisecond)
    ->Arg(100)
    ->Arg(5'000)
    ->Arg(1'000'000)
    ->Arg(10'000'000);

void assurance_from_counts_of_1000_batches(benchmark::State& state) {
  const auto all = batches(1'000, state.range(0));
  const Rate germination = *Rate::counted(184, 200);
  // 1: the counted rate alone; 2: with a known loss after it.
  for (auto _ : state) {
    std::int64_t sum = 0;
    for (const Batch& batch : all) {
      const Rate rate = state.range(1) == 1 ? germination : germination * *Rate::known(batch.share);
      sum += *smallest_start(batch.plants, rate, 0.95);
    }
    benchmark::DoNotOptimize(sum);
  }
}
BENCHMARK(assurance_from_counts_of_1000_batches)
    ->Unit(benchmark::kMillisecond)
    ->Args({5'000, 1})
    ->Args({5'000, 2})
    ->Args({1'000'000, 1})
    ->Args({1'000'000, 2});

void counting_up_for_1000_batches(benchmark::State& state) {
  const auto all = batches(1'000, state.range(0));
  for (auto _ : state) {
    std::int64_t sum = 0;
    for (const Batch& batch : all) {
      std::int64_t n = batch.plants;
      while (binomial_at_least(n, batch.plants, batch.share) < 0.95) ++n;
      sum += n;
    }
    benchmark::DoNotOptimize(sum);
  }
}
BENCHMARK(counting_up_for_1000_batches)->Unit(benchmark::kMillisecond)->Arg(100)->Arg(5'000);

/// The probability that a whole plan of two parts, a join and a chain after it reaches the order.
void whole_plan(benchmark::State& state) {
  const std::int64_t order = state.range(0);
  const Rate scion = state.range(1) == 0 ? *Rate::known(0.85) : *Rate::counted(170, 200);
  const Rate stock = *Rate::known(0.95);
  const Rate take = *Rate::known(0.9);
  const double each = assurance_of_each(0.9, 3);
  const std::int64_t joined = *smallest_start(order, take, each);
  const std::int64_t scions = *smallest_start(joined, scion, each);
  const std::int64_t stocks = *smallest_start(joined, stock, each);
  for (auto _ : state) {
    const Counts parts[] = {Counts::certain(scions).thinned(scion),
                            Counts::certain(stocks).thinned(stock)};
    benchmark::DoNotOptimize(Counts::smallest(parts).thinned(take).at_least(order));
  }
}
BENCHMARK(whole_plan)
    ->Unit(benchmark::kMicrosecond)
    ->ArgsProduct({{10, 100, 1'000, 10'000, 1'000'000, 10'000'000}, {0, 1}})
    ->ArgNames({"plants", "from_counts"});

}  // namespace
