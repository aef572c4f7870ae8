#include "sample.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/template.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

/// Cells of the work in a stage of 10 days with these supplies and this work, for 241 plants.
class Bench {
 public:
  explicit Bench(const std::string& work, const std::string& declarations = "")
      : sample_(
            protocol(declarations + "\nstage s of plant { lasts 10 days  do \"W\" " + work + " }")),
        sheet_(sample_.sheet({ready_by("2027-05-07", 241)}, weekdays())) {}

  const WorkCells& cells() const { return sample_.t().stages[0].works[0]; }
  double at(CellId cell) const { return sheet_.value(cell, 0); }
  /// Person-minutes each time.
  double minutes() const { return at(cells().time) / 60; }
  double use(std::size_t i = 0) const { return at(cells().uses[i].amount); }
  double value(const std::string& name) const { return sample_.value(sheet_, name); }

 private:
  Sample sample_;
  Sheet sheet_;
};

}  // namespace

TEST_CASE("a rate is per person: more people do not change the person-hours") {
  CHECK(Bench("on day 1 { rate 60 per hour }").minutes() == doctest::Approx(241));
  CHECK(Bench("on day 1 { rate 60 per hour  people 2 }").minutes() == doctest::Approx(241));
}

TEST_CASE("a time is by the clock, for everybody who is stated") {
  CHECK(Bench("on day 1 { time 20 min }").minutes() == doctest::Approx(20));
  CHECK(Bench("on day 1 { time 20 min  people 3 }").minutes() == doctest::Approx(60));
  CHECK(Bench("on day 1 { time 30 s each }").minutes() == doctest::Approx(120.5));
  CHECK(Bench("on day 1 { time 30 s each  people 2 }").minutes() == doctest::Approx(241));
}

TEST_CASE("a time goes with a rate: setting up, then plant by plant") {
  CHECK(Bench("on day 1 { time 20 min  people 2  rate 60 per hour }").minutes() ==
        doctest::Approx(40 + 241));
}

TEST_CASE("work without labour has no person-hours") {
  const Bench bench("on day 1");
  CHECK(bench.cells().time == no_cell);
  CHECK(bench.cells().people == no_cell);
  CHECK(bench.value("s.hours") == 0);
  CHECK(bench.value("batch.hours") == 0);
}

TEST_CASE("hours add up over the turns that find people") {
  // Ready by Friday 2027-05-07: the stage stands from Tuesday 27 April to Thursday 6 May.
  CHECK(Bench("daily { time 10 min }").value("s.hours") == doctest::Approx(10 * 600));
  CHECK(Bench("daily { time 10 min  crew all }").value("s.hours") == doctest::Approx(8 * 600));
  CHECK(Bench("daily { time 10 min  crew all }").value("batch.hours") == doctest::Approx(8 * 600));
  CHECK(Bench("every 3 days { time 10 min  crew all }").value("s.hours") ==
        doctest::Approx(4 * 600));
}

TEST_CASE("what is counted is used whole, what is measured is not") {
  const std::string supplies = "supply tray in trays  supply mix in L  supply seed in seeds ";
  CHECK(Bench("on day 1 { use 1 tray per 50 }", supplies).use() == 5);
  CHECK(Bench("on day 1 { use 2 tray per 50 }", supplies).use() == 10);  // two for each group begun
  CHECK(Bench("on day 1 { use 2 seed each }", supplies).use() == 482);
  CHECK(Bench("on day 1 { use (plants / 50) tray }", supplies).use() == 5);
  CHECK(Bench("on day 1 { use (1.5) seed each }", supplies).use() == 362);  // 361.5
  CHECK(Bench("on day 1 { use 3 tray }", supplies).use() == 3);
  CHECK(Bench("on day 1 { use 35 mL mix each }", supplies).use() == doctest::Approx(241 * 35e-6));
  CHECK(Bench("on day 1 { use 10 L mix per 100 }", supplies).use() == doctest::Approx(24.1e-3));
  CHECK(Bench("on day 1 { use 70 L mix }", supplies).use() == doctest::Approx(70e-3));
}

TEST_CASE("groups that come out even need no more for rounding") {
  const Sample sample(protocol(R"(
  supply tray in trays
  input cells = 49 from 10 to 300
  stage s of plant { lasts 10 days  space ceil(plants / cells) trays
    do "W" on day 1 { use 1 tray per cells } }
)"));
  std::vector<BatchFacts> batches;
  for (int trays = 1; trays <= 300; ++trays)
    batches.push_back(ready_by("2027-05-07", 49.0 * trays));
  const Sheet sheet = sample.sheet(batches);
  for (std::size_t row = 0; row < batches.size(); ++row) {
    CHECK(sheet.value(sample.t().stages[0].works[0].uses[0].amount, row) ==
          static_cast<double>(row + 1));
    CHECK(sheet.value(sample.t().stages[0].space.front(), row) == static_cast<double>(row + 1));
  }
}

// 241 plants fill 4.02 trays of 60, so 5; 5 trays are 3 loads of two; 241 plants take 4.82 m2.
TEST_CASE("time and amounts go by what there is to do: by tray, by area, by load") {
  const std::string trays = "supply tray in trays reused\nsupply soap in mL\n";
  const auto bench = [&](const std::string& work) {
    return Bench("on day 1 { use 1 tray per 60  " + work + " }", trays);
  };
  CHECK(bench("time 20 s per tray").minutes() == doctest::Approx(100.0 / 60));
  CHECK(bench("time 20 s per tray people 2").minutes() == doctest::Approx(200.0 / 60));
  CHECK(bench("time 20 min per load of 100").minutes() == doctest::Approx(60));
  CHECK(bench("time 20 min per load of 2 tray").minutes() == doctest::Approx(60));
  CHECK(bench("time 10 s per plant").minutes() == doctest::Approx(2410.0 / 60));
  CHECK(bench("time 1 min per 100").minutes() == doctest::Approx(3));
  CHECK(bench("use 50 mL soap per load of 2 tray").use(1) == doctest::Approx(150e-6));
  CHECK(bench("use 50 mL soap per tray").use(1) == doctest::Approx(250e-6));
  const Bench area("on day 1 { time 2 min per m2  use 3 mL soap per m2 }\n space plants * 0.02 m2",
                   trays);
  CHECK(area.minutes() == doctest::Approx(2 * 4.82));
  CHECK(area.use() == doctest::Approx(3e-6 * 4.82));
}

TEST_CASE("trays of an earlier stage are counted, as they still stand there") {
  const Sample sample(protocol(R"(
    supply tray in trays reused
    stage sow of plant { lasts 3 days  loses 10 %  do "Sow" on day 1 { use 1 tray per 60 } }
    stage grow of plant { lasts 10 days  do "Water" daily { time 20 s per tray } })"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 241)});
  // 241 / 0.9 = 267.8: 268 are sown, into 5 trays.
  const WorkCells& water = sample.t().stages[1].works[0];
  CHECK(sheet.value(water.time, 0) == doctest::Approx(100));
}

TEST_CASE("what goes by a supply that nobody used, or an area that nobody gave, is refused") {
  const auto refused = [](const std::string& work) {
    text::Sources sources;
    text::Diagnostics found;
    language::read(sources.add("w.bud", protocol("supply tray in trays reused\n"
                                                 "stage s of plant { lasts 9 days do \"W\" { " +
                                                 work + " } }")),
                   found);
    return listed(found).find("no-such-use") != std::string::npos;
  };
  CHECK(refused("time 20 s per tray"));
  CHECK(refused("time 20 s per load of 5 tray"));
  CHECK(refused("time 20 s per m2"));
}
