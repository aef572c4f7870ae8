// What a season costs that is under way: 10,000 batches of the approach graft with 500,000 entries
// in the record beside the book, from the closed file to the plan from today.
#include <benchmark/benchmark.h>
#include <stdlib.h>

#include <cstdlib>
#include <filesystem>

#include "files/read.hpp"
#include "plan/plan.hpp"
#include "record/store.hpp"

using namespace budwood;
namespace fs = std::filesystem;

namespace {

constexpr int batches = 10'000;
constexpr std::size_t entries_each = 50;

/// A folder that is gone after the run. TMPDIR says on which disk.
class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "under-way-benchmark-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~Folder() { fs::remove_all(path_); }
  const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

book::Book season(const fs::path& folder) {
  static text::Sources sources;
  text::Diagnostics diagnostics;
  static const text::Source* source =
      files::read_text(BUDWOOD_PROTOCOLS "/approach_graft.bud", sources, diagnostics);
  book::Book book;
  book.folder = folder;
  book.site.name.value = "Benchmark";
  book.protocols = language::read(*source, diagnostics).protocols;
  constexpr int days_of_season = 300;
  for (int i = 0; i < batches; ++i) {
    book::Batch batch;
    batch.id.value = "B" + std::to_string(i);
    batch.protocol.value = "approach_graft";
    batch.plants.value = 100 + i % 400;
    batch.ready =
        book::Placed<calendar::Day>{*calendar::day_of({2027, 5, 3}) + i % days_of_season, {}};
    book.batches.push_back(std::move(batch));
  }
  return book;
}

record::Entry entry(const std::string& batch, record::What what, const std::string& place,
                    calendar::Day day) {
  record::Entry out;
  out.id = record::new_id();
  out.noted = record::moment_now();
  out.batch = batch;
  out.what = what;
  out.place = place;
  out.day = day;
  out.by = "Ana";
  return out;
}

/// Work as it was planned, stages as they began, and what else is seen of a batch.
std::vector<record::Entry> entries_of(const plan::Plan& plan, const plan::BatchPlan& batch,
                                      const std::vector<const plan::WorkOrder*>& orders) {
  const std::string& id = plan.facts_of(batch).id.value;
  const sheet::Row row = plan.row_of(batch);
  std::vector<record::Entry> out;
  for (const plan::WorkOrder* order : orders) {
    if (out.size() + 8 == entries_each) break;
    out.push_back(entry(id, record::What::done, plan::order_name(plan, *order), order->date));
    out.back().seconds = 3600;
  }
  for (const language::StageId stage : row.protocol().stages.ids()) {
    if (out.size() + 4 == entries_each) break;
    out.push_back(entry(id, record::What::started, row.stage(stage).name, row.start(stage)));
  }
  while (out.size() < entries_each) {
    out.push_back(entry(id, record::What::note, "", out.front().day));
    out.back().words = "a cold night, the vents were shut";
  }
  return out;
}

/// The folder of a book with its record.
const fs::path& recorded() {
  static const Folder folder;
  static const bool filled = [] {
    const book::Book book = season(folder.path());
    text::Diagnostics diagnostics;
    const plan::Plan plan = plan::make_plan(book, diagnostics);
    std::vector<std::vector<const plan::WorkOrder*>> orders(plan.batches.size());
    for (const plan::WorkOrder& order : plan.orders) orders[order.batch].push_back(&order);
    std::vector<record::Entry> all;
    for (std::size_t i = 0; i < plan.batches.size(); ++i) {
      for (record::Entry& one : entries_of(plan, plan.batches[i], orders[i])) {
        all.push_back(std::move(one));
      }
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const auto& one, const auto& other) { return one.day < other.day; });
    auto store = record::open(*book::record_of(book), record::Access::write).store;
    record::Added added;
    if (!store->add(all, added).empty() || added.fresh != batches * entries_each) abort();
    return true;
  }();
  (void)filled;
  return folder.path();
}

void record_followed(benchmark::State& state) {
  const book::Book written = season(recorded());
  for (auto _ : state) {
    book::Book book = written;
    text::Sources sources;
    text::Diagnostics diagnostics;
    book::follow_record(book, sources, diagnostics);
    if (book.history.size() != batches * entries_each) state.SkipWithError("not all is there");
  }
}
BENCHMARK(record_followed)->Unit(benchmark::kMillisecond)->UseRealTime();

void planned_from_today(benchmark::State& state) {
  const book::Book written = season(recorded());
  std::size_t done = 0;
  for (auto _ : state) {
    book::Book book = written;
    text::Sources sources;
    text::Diagnostics diagnostics;
    book::follow_record(book, sources, diagnostics);
    const plan::Plan plan = plan::make_plan(book, diagnostics);
    done = 0;
    for (const plan::WorkOrder& order : plan.orders) done += order.done() ? 1 : 0;
  }
  state.counters["done"] = static_cast<double>(done);
}
BENCHMARK(planned_from_today)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
