#include <benchmark/benchmark.h>

#include "results/learn.hpp"
#include "statistics/comparing/permutation.hpp"

/// What a large record costs when somebody asks what came of it. Ratios within one run are what
/// counts: a pass that reads every entry once stands beside each.
namespace {

using namespace budwood;

constexpr int batches = 2'000;

/// A protocol with so many inputs that each say what a stage loses.
std::string protocol_of(int inputs) {
  std::string out = "protocol p \"P\" {\n  part plant\n";
  for (int i = 0; i < inputs; ++i) {
    const std::string name = std::to_string(i);
    out += "  input take" + name + " = 99 % from 10 % to 100 %\n  stage s" + name +
           " of plant { lasts 2 days  room bench" + (i % 2 == 0 ? "a" : "b") + "  loses 1 - take" +
           name + " }\n";
  }
  return out + "}\n";
}

/// So many batches, and in each stage of them trays that were counted again and again.
struct Season {
  Season(int inputs, int of_batches, int entries) : inputs_(inputs) {
    text::Diagnostics diagnostics;
    book.protocols =
        language::read(sources.add("p.bud", protocol_of(inputs)), diagnostics).protocols;
    for (int i = 0; i < of_batches; ++i) {
      book::Batch batch;
      batch.id.value = "B" + std::to_string(i);
      batch.protocol.value = "p";
      batch.plants.value = 200;
      batch.start = book::Placed<calendar::Day>{20'000 + i % 300, {}};
      book.batches.push_back(std::move(batch));
    }
    std::vector<record::Entry> all;
    for (int i = 0; i < entries; ++i) all.push_back(entry(i, of_batches));
    book.history = record::History(std::move(all));
    plan = plan::make_plan(book, diagnostics);
  }

  record::Entry entry(int i, int of_batches) const {
    record::Entry out;
    out.id = std::to_string(i);
    out.turn = i;
    out.what = record::What::counted;
    out.batch = "B" + std::to_string(i % of_batches);
    out.place = "s" + std::to_string(i / of_batches % inputs_);
    out.tray = std::to_string(i / of_batches / inputs_ % 10);
    out.day = 20'000 + i / of_batches;
    out.number = 15 + i % 97 % 10;
    out.of = 24;
    return out;
  }

  std::vector<results::Asked> asked() const { return {{"book", &plan}}; }

  int inputs_;
  text::Sources sources;
  book::Book book;
  plan::Plan plan;
};

const Season& million() {
  static const Season season(4, batches, 1'000'000);
  return season;
}
const Season& many_inputs() {
  static const Season season(500, 6, 500 * 6 * 10);
  return season;
}

void read_every_entry(benchmark::State& state) {
  const Season& season = million();
  for (auto _ : state) {
    double sum = 0;
    for (const record::Entry& entry : season.book.history) sum += *entry.number;
    benchmark::DoNotOptimize(sum);
  }
}
BENCHMARK(read_every_entry)->Unit(benchmark::kMillisecond);

void results_of_a_million_entries(benchmark::State& state) {
  const Season& season = million();
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        results::summarise(season.asked(), {results::Of::take, results::By::batch, ""}));
  }
}
BENCHMARK(results_of_a_million_entries)->Unit(benchmark::kMillisecond);

/// Two arms of a hundred trays each, in ten blocks: too many lots to list, so they are sampled.
void lots_of_200_trays(benchmark::State& state) {
  std::vector<statistics::LotTray> trays;
  for (int i = 0; i < 200; ++i) trays.push_back({0.6 + i * 37 % 100 / 300.0, i % 10, i % 20 < 10});
  for (auto _ : state) benchmark::DoNotOptimize(statistics::permutation_test(trays, 1));
}
BENCHMARK(lots_of_200_trays)->Unit(benchmark::kMillisecond);

void learn_500_inputs(benchmark::State& state) {
  const Season& season = many_inputs();
  for (auto _ : state) benchmark::DoNotOptimize(results::learn(season.asked()));
}
BENCHMARK(learn_500_inputs)->Unit(benchmark::kMillisecond);

}  // namespace
