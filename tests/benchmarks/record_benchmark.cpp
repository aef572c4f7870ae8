#include <benchmark/benchmark.h>
#include <stdlib.h>

#include <chrono>
#include <filesystem>

#include "record/standing.hpp"
#include "record/store.hpp"

/// What keeping a record costs: an entry until it is on the disk, and a record of 1,000,000 entries
/// over 20 seasons, 500 batches each, opened for one of them.
namespace {

using namespace budwood;
namespace fs = std::filesystem;

constexpr int seasons = 20;
constexpr int batches = 500;  ///< a season
constexpr int entries_each = 100;

/// A folder that is gone after the run. TMPDIR says on which disk.
class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "record-benchmark-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~Folder() { fs::remove_all(path_); }
  record::Where where() const { return {path_ / record::record_file, ""}; }

 private:
  fs::path path_;
};

std::string batch_name(int season, int batch) {
  return "S" + std::to_string(season) + "-" + std::to_string(batch);
}

record::Entry entry(const std::string& batch, int day) {
  record::Entry out;
  out.id = record::new_id();
  out.noted = record::moment_now();
  out.day = 20'000 + day;
  out.batch = batch;
  out.place = "grafting/2/1";
  out.what = record::What::done;
  out.number = 291;
  out.unit = "plants";
  out.seconds = 22'200;
  out.by = "Ana";
  return out;
}

const Folder& large() {
  static const Folder folder;
  static const bool filled = [] {
    auto store = record::open(folder.where(), record::Access::write).store;
    for (int season = 0; season < seasons; ++season) {
      std::vector<record::Entry> all;
      for (int i = 0; i < batches * entries_each; ++i) {
        all.push_back(entry(batch_name(season, i % batches), season * 365 + i / batches));
      }
      record::Added added;
      if (!store->add(all, added).empty()) abort();
    }
    return true;
  }();
  (void)filled;
  return folder;
}

void EntryConfirmed(benchmark::State& state) {
  const Folder folder;
  auto store = record::open(folder.where(), record::Access::write).store;
  for (auto _ : state) {
    std::vector<record::Entry> one = {entry("A1", 1)};
    record::Added added;
    if (!store->add(one, added).empty()) state.SkipWithError("not added");
  }
}
BENCHMARK(EntryConfirmed)->Unit(benchmark::kMillisecond)->UseRealTime();

/// The same into a record that has a million already, opened anew each time as by the command,
/// which confirms an entry before it closes the record.
void EntryConfirmedInLargeRecord(benchmark::State& state) {
  using Clock = std::chrono::steady_clock;
  const record::Where where = large().where();
  for (auto _ : state) {
    const Clock::time_point begin = Clock::now();
    auto store = record::open(where, record::Access::write).store;
    std::vector<record::Entry> one = {entry("A1", 1)};
    record::Added added;
    if (!store->add(one, added).empty()) state.SkipWithError("not added");
    state.SetIterationTime(std::chrono::duration<double>(Clock::now() - begin).count());
  }
}
BENCHMARK(EntryConfirmedInLargeRecord)->Unit(benchmark::kMillisecond)->UseManualTime();

void SeasonOpened(benchmark::State& state) {
  const record::Where where = large().where();
  record::Query query;
  for (int i = 0; i < batches; ++i) query.batches.push_back(batch_name(seasons / 2, i));
  for (auto _ : state) {
    auto store = record::open(where, record::Access::read).store;
    std::vector<record::Entry> found;
    store->read(query, found);
    if (record::standing(std::move(found)).size() != batches * entries_each) {
      state.SkipWithError("not all found");
    }
  }
}
BENCHMARK(SeasonOpened)->Unit(benchmark::kMillisecond)->UseRealTime();

void BatchListed(benchmark::State& state) {
  const record::Where where = large().where();
  const record::Query query{{batch_name(seasons / 2, 7)}, {}, {}, ""};
  for (auto _ : state) {
    auto store = record::open(where, record::Access::read).store;
    std::vector<record::Entry> found;
    store->read(query, found);
    if (found.size() != entries_each) state.SkipWithError("not all found");
  }
}
BENCHMARK(BatchListed)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
