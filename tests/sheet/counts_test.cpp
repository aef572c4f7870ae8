#include <random>

#include "sample.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

/// The plants at the start of the stage `s` of a protocol with these stages.
double plants_of(const std::string& stages, double ordered, const std::string& name = "s") {
  const Sample sample(protocol(stages));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", ordered)});
  return sample.value(sheet, name + ".plants");
}

}  // namespace

TEST_CASE("one loss: the order over the share that survives, rounded up") {
  // 100 good plants at 85 %: 100 / 0.85 = 117.6, 118 starts (simple division; a binomial sum
  // shows that 118 reach 100 only 59.3 % of the time).
  CHECK(plants_of(losing("15 %"), 100) == 118);
  CHECK(plants_of(losing("1 - 85 %"), 100) == 118);
}

TEST_CASE("a whole number is not rounded up by the noise of binary fractions") {
  CHECK(plants_of(losing("15 %"), 85) == 100);     // 85 / 0.85 = 100.00000000000001
  CHECK(plants_of(losing("1 - 0.7"), 70) == 100);  // 70 / (1 - (1 - 0.7))
  CHECK(plants_of(losing("0 %"), 12345) == 12345);
  CHECK(plants_of(losing("0.1 %"), 999) == 1000);
  // Every whole number at every whole per cent, against whole-number arithmetic.
  for (int percent = 0; percent < 100; ++percent) {
    const Sample sample(protocol(losing(std::to_string(percent) + " %")));
    std::vector<BatchFacts> batches;
    for (int plants = 1; plants <= 400; ++plants) batches.push_back(ready_by("2027-05-07", plants));
    const Sheet sheet = sample.sheet(batches);
    const std::span<const double> started = sheet.columns().of(sample.cell("s.plants"));
    int wrong = 0;
    for (int plants = 1; plants <= 400; ++plants) {
      const int survive = 100 - percent;
      const int want = (100 * plants + survive - 1) / survive;
      if (started[static_cast<std::size_t>(plants - 1)] != want) ++wrong;
    }
    CHECK_MESSAGE(wrong == 0, percent);
  }
}

TEST_CASE("along a chain only the start is rounded up; whole plants are handled on the way") {
  const Sample sample(protocol(R"(
  stage a of plant { lasts 5 days  loses 10 % }
  stage b of plant { lasts 5 days  loses 20 % }
  stage c of plant { lasts 5 days }
  stage d of plant { lasts 5 days  loses 5 % }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 100)});
  // 100 / (0.9 x 0.8 x 0.95) = 146.2, 147 starts: 132.3, 105.84, 105.84, 100.548 go on.
  CHECK(sample.value(sheet, "a.plants") == 147);
  CHECK(sample.value(sheet, "a.left") == doctest::Approx(132.3));
  CHECK(sample.value(sheet, "b.plants") == 133);
  CHECK(sample.value(sheet, "b.left") == doctest::Approx(105.84));
  CHECK(sample.value(sheet, "c.plants") == 106);
  CHECK(sample.value(sheet, "c.left") == doctest::Approx(105.84));
  CHECK(sample.value(sheet, "d.plants") == 106);
  CHECK(sample.value(sheet, "d.left") == doctest::Approx(100.548));
}

TEST_CASE("a join takes one of each part") {
  const Sample sample(R"(protocol sample {
  part scion  part stock  part plant
  stage sow_scion of scion { lasts 7 days  loses 15 % }
  stage grow_scion of scion { lasts 8 days  loses 4 % }
  stage sow_stock of stock { lasts 5 days  loses 10 % }
  stage graft joins scion with stock into plant { lasts 6 hours  loses 2 % }
  stage heal of plant { lasts 9 days  loses 12 % }
})");
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 200)});
  // 200 / (0.98 x 0.88) = 231.9: 232 grafts; 232 / (0.85 x 0.96) = 284.3; 232 / 0.9 = 257.8.
  CHECK(sample.value(sheet, "graft.plants") == 232);
  CHECK(sample.value(sheet, "sow_scion.plants") == 285);
  CHECK(sample.value(sheet, "grow_scion.plants") == 243);  // 285 x 0.85 = 242.25
  CHECK(sample.value(sheet, "grow_scion.left") == doctest::Approx(232.56));
  CHECK(sample.value(sheet, "sow_stock.plants") == 258);
  CHECK(sample.value(sheet, "sow_stock.left") == doctest::Approx(232.2));
  CHECK(sample.value(sheet, "graft.left") == doctest::Approx(227.36));
  CHECK(sample.value(sheet, "heal.plants") == 228);
  CHECK(sample.value(sheet, "heal.left") == doctest::Approx(200.0768));
}

TEST_CASE("what a join makes can be joined again") {
  const Sample sample(R"(protocol sample {
  part root  part stem  part top  part frame  part tree
  stage raise_root of root { lasts 9 days  loses 50 % }
  stage raise_stem of stem { lasts 9 days  loses 20 % }
  stage raise_top of top { lasts 9 days  loses 10 % }
  stage first joins root with stem into frame { lasts 1 day  loses 10 % }
  stage second joins frame with top into tree { lasts 1 day  loses 25 % }
})");
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 30)});
  CHECK(sample.value(sheet, "second.plants") == 40);
  CHECK(sample.value(sheet, "raise_top.plants") == 45);  // 40 / 0.9 = 44.4
  CHECK(sample.value(sheet, "first.plants") == 45);
  CHECK(sample.value(sheet, "raise_root.plants") == 90);
  CHECK(sample.value(sheet, "raise_stem.plants") == 57);  // 45 / 0.8 = 56.25
}

TEST_CASE("a loss may differ from batch to batch") {
  const Sample sample(protocol(R"(
  input take = 80 % from 10 % to 100 %
  stage s of plant { lasts 10 days  loses if batch.plants > 500 then 1 - take else 5 % }
)"));
  BatchFacts own = ready_by("2027-05-07", 600);
  own.inputs = {{sample.cell("take"), 0.5}};
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 500), ready_by("2027-05-07", 600), own});
  const CellId plants = sample.cell("s.plants");
  CHECK(sheet.value(plants, 0) == 527);  // 500 / 0.95 = 526.3
  CHECK(sheet.value(plants, 1) == 750);
  CHECK(sheet.value(plants, 2) == 1200);
}

TEST_CASE("the order is met, and with one plant less it would not be") {
  std::mt19937 engine(20270314);
  const auto draw = [&](int low, int high) {
    return low + static_cast<int>(engine() % static_cast<unsigned>(high - low + 1));
  };
  for (int round = 0; round < 200; ++round) {
    // A chain before the join for each part, one after it.
    std::vector<std::vector<double>> survival(3);
    std::string text = "protocol sample {\n part scion  part stock  part plant\n";
    const char* parts[] = {"scion", "stock", "plant"};
    for (int part = 0; part < 3; ++part) {
      const int stages = draw(1, 3);
      for (int i = 0; i < stages; ++i) {
        const int tenths = draw(0, 980);
        survival[static_cast<std::size_t>(part)].push_back(1 - tenths / 1000.0);
        const std::string name = std::string(parts[part]) + std::to_string(i);
        const bool join = part == 2 && i == 0;
        text += " stage " + name + (join ? " joins scion with stock into plant" : " of ") +
                (join ? "" : parts[part]) + " { lasts 3 days  loses " +
                std::to_string(tenths / 10) + "." + std::to_string(tenths % 10) + " % }\n";
      }
    }
    INFO(text);
    const Sample sample(text + "}\n");
    const double ordered = draw(1, 100'000);
    const Sheet sheet = sample.sheet({ready_by("2027-05-07", ordered)});
    double grafts = 0;
    for (const int part : {2, 0, 1}) {
      double share = 1;
      for (const double stage : survival[static_cast<std::size_t>(part)]) share *= stage;
      const double needed = part == 2 ? ordered : grafts;
      const double started = sample.value(sheet, std::string(parts[part]) + "0.plants");
      if (part == 2) grafts = started;
      CHECK(started == std::floor(started));
      CHECK(started * share >= needed * (1 - units::rounding_slack));
      CHECK((started - 1) * share < needed);
      const std::string last =
          parts[part] + std::to_string(survival[static_cast<std::size_t>(part)].size() - 1);
      CHECK(sample.value(sheet, last + ".left") == doctest::Approx(started * share));
    }
  }
}
