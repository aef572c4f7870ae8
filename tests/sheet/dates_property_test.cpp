#include "random_protocol.hpp"
#include "sample.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/template.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

const Day spring = 20'890;  // Saturday 2027-03-13

/// The dates of one row.
struct Planned {
  std::vector<Day> starts;
  std::optional<Day> ready;
};

Planned planned(const Sheet& sheet, std::size_t row) {
  Planned out;
  const double ready = sheet.value(sheet.layout().ready, row);
  if (std::isnan(ready)) return out;
  out.ready = static_cast<Day>(ready);
  for (const StageCells& cells : sheet.layout().stages) {
    out.starts.push_back(static_cast<Day>(sheet.value(cells.start, row)));
  }
  return out;
}

BatchFacts ready_on(Day day) {
  BatchFacts batch;
  batch.plants = 100;
  batch.ready = day;
  return batch;
}

BatchFacts started(Day day) {
  BatchFacts batch;
  batch.plants = 100;
  batch.not_before = day;
  return batch;
}

Site site_with(calendar::WorkingDays working) {
  Site site;
  site.working = std::move(working);
  return site;
}

/// Tries every day of a window for every start. All plans that keep to the protocol, delivered
/// between two days, are seen by `visit`.
class EveryPlan {
 public:
  EveryPlan(const RandomProtocol& protocol, const calendar::WorkingDays& working, Day first,
            Day last, Day ready_from, Day ready_to)
      : protocol_(protocol),
        working_(working),
        first_(first),
        last_(last),
        ready_from_(ready_from),
        ready_to_(ready_to),
        starts_(protocol.stages().size()) {}

  template <typename Visit>
  void run(const Visit& visit, std::size_t stage = 0) {
    if (stage == starts_.size()) {
      for (Day ready = ready_from_; ready <= ready_to_; ++ready) {
        if (protocol_.allows(starts_, ready, working_)) visit(starts_, ready);
      }
      return;
    }
    for (starts_[stage] = first_; starts_[stage] <= last_; ++starts_[stage]) {
      if (protocol_.allows_start(stage, starts_, working_)) run(visit, stage + 1);
    }
  }

 private:
  const RandomProtocol& protocol_;
  const calendar::WorkingDays& working_;
  Day first_, last_, ready_from_, ready_to_;
  std::vector<Day> starts_;
};

}  // namespace

TEST_CASE("every plan keeps to what its protocol says") {
  int with_dates = 0;
  int without = 0;
  for (std::uint32_t seed = 1; seed <= 300; ++seed) {
    const RandomProtocol random(seed, 4);
    INFO("seed ", seed, "\n", random.text());
    const Sample sample(random.text());
    Draw draw(seed + 1'000'000);
    const calendar::WorkingDays working = random_working_days(draw, spring - 150, 300);
    std::vector<BatchFacts> batches;
    for (int i = 0; i < 6; ++i) {
      const Day day = spring + draw.between(0, 60);
      batches.push_back(i % 2 == 0 ? ready_on(day) : started(day - 120));
    }
    const Sheet sheet = sample.sheet(batches, site_with(working));
    for (std::size_t row = 0; row < batches.size(); ++row) {
      const Planned plan = planned(sheet, row);
      if (!plan.ready) {
        ++without;
        REQUIRE(sheet.conflict(row));
        CHECK_FALSE(sheet.conflict(row)->lines.empty());
        CHECK(sheet.conflict(row)->misses >= 0);
        continue;
      }
      ++with_dates;
      CHECK_FALSE(sheet.conflict(row));
      CHECK(random.allows(plan.starts, *plan.ready, working));
      if (batches[row].ready) CHECK(*plan.ready <= *batches[row].ready);
      for (std::size_t s = 0; s < plan.starts.size(); ++s) {
        const StageCells& cells = sample.t().stages[s];
        const RandomProtocol::Stage& stage = random.stages()[s];
        const double end = sheet.value(cells.end, row);
        CHECK(end - plan.starts[s] == stage.usual);
        CHECK(sheet.value(cells.days, row) == stage.usual);
        CHECK(sheet.value(cells.earliest, row) <= end);
        CHECK(sheet.value(cells.latest, row) >= end);
        if (stage.takes.empty() && batches[row].not_before)
          CHECK(plan.starts[s] >= *batches[row].not_before);
      }
    }
  }
  // The protocols are not so loose, nor so tight, that nothing is tried.
  CHECK(with_dates > 800);
  CHECK(without > 20);
}

TEST_CASE("ready by a day: no date could be later, and where there is no plan none exists") {
  int with_dates = 0;
  int without = 0;
  for (std::uint32_t seed = 1; seed <= 400; ++seed) {
    const RandomProtocol random(seed, seed % 3 == 0 ? 3 : 1);
    if (random.stages().size() > 4) continue;
    INFO("seed ", seed, "\n", random.text());
    const Sample sample(random.text());
    Draw draw(seed + 2'000'000);
    const calendar::WorkingDays working = random_working_days(draw, spring - 60, 80);
    const Day ready = spring + draw.between(0, 13);
    BatchFacts batch = ready_on(ready);
    // Without a pin some early plan always exists; with two, often none.
    std::vector<std::pair<std::size_t, Day>> pinned;
    for (int pins = draw.chance(50) ? 2 : 0; pins > 0; --pins) {
      const int stage = draw.between(0, static_cast<int>(random.stages().size()) - 1);
      const Day day = ready - draw.between(1, 16);
      const auto index = static_cast<std::size_t>(stage);
      if (!pinned.empty() && pinned.front().first == index) continue;
      batch.pins.push_back({StageId(stage), false, day});
      pinned.emplace_back(index, day);
    }
    const Sheet sheet = sample.sheet({batch}, site_with(working));
    const Planned plan = planned(sheet, 0);

    std::vector<Day> latest(random.stages().size(), 0);
    std::optional<Day> latest_ready;
    constexpr int window = 36;
    EveryPlan(random, working, ready - window, ready, ready - window, ready)
        .run([&](const std::vector<Day>& starts, Day day) {
          for (const auto& [stage, wanted] : pinned) {
            if (starts[stage] != wanted) return;
          }
          for (std::size_t s = 0; s < starts.size(); ++s) {
            latest[s] = std::max(latest[s], starts[s]);
          }
          latest_ready = std::max(latest_ready.value_or(day), day);
        });
    CHECK(plan.ready == latest_ready);
    if (plan.ready) CHECK(plan.starts == latest);
    ++(plan.ready ? with_dates : without);
  }
  CHECK(with_dates > 100);
  CHECK(without > 40);
}

TEST_CASE("started on a day: no finish could be earlier, and then no date later") {
  int compared = 0;
  for (std::uint32_t seed = 1; seed <= 250; ++seed) {
    const RandomProtocol random(seed, seed % 3 == 0 ? 3 : 1);
    if (random.stages().size() > 4) continue;
    INFO("seed ", seed, "\n", random.text());
    const Sample sample(random.text());
    Draw draw(seed + 3'000'000);
    const calendar::WorkingDays working = random_working_days(draw, spring - 60, 120);
    const Day start = spring - 40 + draw.between(0, 13);
    const Sheet sheet = sample.sheet({started(start)}, site_with(working));
    const Planned plan = planned(sheet, 0);
    if (!plan.ready || *plan.ready > start + 34) continue;
    std::vector<Day> latest(random.stages().size(), 0);
    Day earliest_ready = *plan.ready + 1;
    EveryPlan(random, working, start, *plan.ready, start, *plan.ready)
        .run([&](const std::vector<Day>& starts, Day day) {
          if (day < earliest_ready) latest.assign(starts.size(), 0);
          earliest_ready = std::min(earliest_ready, day);
          for (std::size_t s = 0; s < starts.size() && day == earliest_ready; ++s) {
            latest[s] = std::max(latest[s], starts[s]);
          }
        });
    CHECK(*plan.ready == earliest_ready);
    CHECK(plan.starts == latest);
    ++compared;
  }
  CHECK(compared > 100);
}

TEST_CASE("a later ready date, or start, never gives an earlier plan") {
  for (std::uint32_t seed = 1; seed <= 40; ++seed) {
    const RandomProtocol random(seed, 3);
    INFO("seed ", seed, "\n", random.text());
    const Sample sample(random.text());
    Draw draw(seed + 4'000'000);
    const calendar::WorkingDays working = random_working_days(draw, spring - 150, 300);
    std::vector<BatchFacts> batches;
    for (Day day = spring; day < spring + 28; ++day) batches.push_back(ready_on(day));
    for (Day day = spring; day < spring + 28; ++day) batches.push_back(started(day - 90));
    const Sheet sheet = sample.sheet(batches, site_with(working));
    Planned before;
    for (std::size_t row = 0; row < batches.size(); ++row) {
      if (row == 28) before = {};
      const Planned plan = planned(sheet, row);
      if (plan.ready && before.ready) {
        CHECK(*plan.ready >= *before.ready);
        for (std::size_t s = 0; s < plan.starts.size(); ++s) {
          CHECK(plan.starts[s] >= before.starts[s]);
        }
      }
      if (plan.ready) before = plan;
    }
  }
}

TEST_CASE("batches do not touch each other: a row alone has the same values") {
  for (std::uint32_t seed = 1; seed <= 6; ++seed) {
    const RandomProtocol random(seed, 3);
    INFO("seed ", seed, "\n", random.text());
    const Sample sample(random.text());
    Draw draw(seed + 5'000'000);
    const Site site = site_with(random_working_days(draw, spring - 150, 300));
    std::vector<BatchFacts> batches;
    for (int i = 0; i < 300; ++i) {
      batches.push_back(ready_on(spring + draw.between(0, 60)));
      batches.back().plants = draw.between(1, 2000);
      if (draw.chance(20))
        batches.back().pins.push_back({StageId(0), false, spring - draw.between(10, 40)});
    }
    const Sheet together = sample.sheet(batches, site);
    for (const std::size_t row : {0U, 255U, 256U, 299U}) {
      const Sheet alone = sample.sheet({batches[row]}, site);
      for (CellId cell = 0; cell < sample.t().cells.size(); ++cell) {
        INFO(sample.t().cell(cell).name);
        const double a = together.value(cell, row);
        const double b = alone.value(cell, 0);
        CHECK((a == b || (std::isnan(a) && std::isnan(b))));
      }
    }
  }
}
