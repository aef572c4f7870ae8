#include <cmath>

#include "sample.hpp"
#include "sheet/columns/given.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/counts/prospects.hpp"
#include "sheet/row.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"

/// How many to start when the number must be sure, when plants multiply, part, fill trays, or are
/// thrown out.
using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

BatchFacts sure_of(double plants, double sure) {
  BatchFacts batch = ready_by("2027-05-07", plants);
  batch.sure = sure;
  return batch;
}

double started(const std::string& stages, double plants, double sure,
               const std::string& stage = "s") {
  const Sample sample(protocol(stages));
  return sample.value(sample.sheet({sure_of(plants, sure)}), stage + ".plants");
}

const std::string grafted = R"(
  part stock  part graft
  stage s of plant { lasts 10 days  loses 10 % }
  stage r of stock { lasts 10 days  loses 5 % }
  stage g joins plant with stock into graft { lasts 5 days  loses 20 % }
)";

}  // namespace

// Exact sums of the binomial distribution.
TEST_CASE("the smallest start that is sure enough") {
  CHECK(started(losing("15 %"), 100, 0.95) == 125);  // 0.9501; 124 give 0.9271
  CHECK(started(losing("10 %"), 72, 0.95) == 85);    // 0.9577; 84 give 0.9259
  CHECK(started(losing("20 %"), 200, 0.95) == 263);  // 0.9511; 262 give 0.9382
  CHECK(started(losing("15 %"), 100, 0) == 118);     // not asked for: simple division
  CHECK(started(losing("0 %"), 100, 0.99) == 100);
  CHECK(started(losing("99.99 %"), 1, 0.5) == 6932);  // ln 0.5 / ln 0.9999 = 6931.1
  CHECK(started(losing("10 %"), 1e7, 0.9) > 1e7 / 0.9);
}

namespace {

/// P(exactly k of n) at a share, by logarithms.
double exactly(int n, int k, double share) {
  return std::exp(std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1) +
                  k * std::log(share) + (n - k) * std::log1p(-share));
}
double at_least(int n, int k, double share) {
  double sum = 0;
  for (int i = k; i <= n; ++i) sum += exactly(n, i, share);
  return std::min(sum, 1.0);
}

/// The chance that `order` grafts come of so many scions and stocks, with every pair that meets
/// grafted: summed over all numbers of pairs.
double grafted_chance(int scions, int stocks, int order) {
  double sum = 0;
  for (int pairs = order; pairs <= std::min(scions, stocks); ++pairs) {
    const double met = at_least(scions, pairs, 0.9) * at_least(stocks, pairs, 0.95) -
                       at_least(scions, pairs + 1, 0.9) * at_least(stocks, pairs + 1, 0.95);
    sum += met * at_least(pairs, order, 0.8);
  }
  return sum;
}

}  // namespace

// Held against sums of binomial distributions, made here.
TEST_CASE(
    "chains together are as sure as was asked, and no chain starts one plant more than that") {
  const Sample sample(protocol(grafted));
  for (const int order : {20, 44, 100, 250}) {
    for (const double sure : {0.5, 0.8, 0.9, 0.95, 0.99}) {
      CAPTURE(order);
      CAPTURE(sure);
      const Sheet sheet = sample.sheet({sure_of(order, sure)});
      const auto scions = static_cast<int>(sample.value(sheet, "s.plants"));
      const auto stocks = static_cast<int>(sample.value(sheet, "r.plants"));
      const double chance = grafted_chance(scions, stocks, order);
      CHECK(chance >= sure);
      CHECK(grafted_chance(scions - 1, stocks, order) < sure);
      CHECK(grafted_chance(scions, stocks - 1, order) < sure);
      CHECK(prospects(Row(sheet, 0))->chance == doctest::Approx(chance).epsilon(1e-9));
      // The cube root of what is asked, for each of three chains, costs more.
      const double each = std::cbrt(sure);
      const auto grafts = *statistics::smallest_start(order, 0.8, each);
      CHECK(scions < *statistics::smallest_start(grafts, 0.9, each));
      CHECK(stocks < *statistics::smallest_start(grafts, 0.95, each));
    }
  }
}

TEST_CASE(
    "batches that ask for different things are sure each for itself, before and after an edit") {
  const Sample sample(protocol(grafted));
  const Sheet all = sample.sheet({sure_of(100, 0.9), sure_of(100, 0), sure_of(60, 0.9)});
  for (std::size_t row = 0; row < 3; ++row) {
    const Sheet one = sample.sheet({all.batch(row)});
    CHECK(all.value(sample.cell("s.plants"), row) == one.value(sample.cell("s.plants"), 0));
  }
  Sheet edited = sample.sheet({sure_of(100, 0.9)});
  edited.change(0, sure_of(60, 0.9));
  CHECK(edited.value(sample.cell("s.plants"), 0) == all.value(sample.cell("s.plants"), 2));
}

TEST_CASE("full trays, minimums and losses that follow counts are tried as they are") {
  const std::string stages = R"(
    supply tray in trays reused
    part stock  part graft
    stage s of plant { lasts 10 days  loses 10 %  in whole tray  do "Sow" { use 1 tray per 50 } }
    stage r of stock { lasts 10 days  loses if g.plants > 100 then 6 % else 5 %  minimum 130 plants }
    stage g joins plant with stock into graft { lasts 5 days  loses 20 % })";
  const Sample sample(protocol(stages));
  const Sheet sheet = sample.sheet({sure_of(100, 0.9)});
  CHECK(std::fmod(sample.value(sheet, "s.plants"), 50) == 0);
  CHECK(sample.value(sheet, "r.plants") >= 130);
  CHECK(prospects(Row(sheet, 0))->chance >= 0.9);
}

TEST_CASE("a share that rests on a count scatters more") {
  const std::string take = "input take = 92 % seen 184 of 200\n";
  const double counted = started(take + losing("1 - take"), 500, 0.95);
  const double known = started("input take = 92 %\n" + losing("1 - take"), 500, 0.95);
  CHECK(counted > known);
  CHECK(counted == *statistics::smallest_start(500, *statistics::Rate::counted(184, 200), 0.95));
  // The same count told as losses.
  CHECK(started("input rot = 8 % seen 16 of 200\n" + losing("rot"), 500, 0.95) == counted);
  // So with a count of losses that a batch brings itself: 16 of 200 lost are 184 that came through.
  const Sample rotting("protocol sample {\ninput rot = 20 %\npart plant\n" + losing("rot") + "\n}");
  BatchFacts lost = sure_of(500, 0.95);
  give(rotting.t(), rotting.cell("rot"), 0.08, {16, 200, 0, {}}, lost.inputs);
  CHECK(rotting.value(rotting.sheet({lost}), "s.plants") == counted);
  // A batch with a share of its own does not rest on that count.
  const Sample sample(protocol(take + losing("1 - take")));
  BatchFacts own = sure_of(500, 0.95);
  own.inputs = {{sample.cell("take"), 0.95}};
  CHECK(sample.value(sample.sheet({own}), "s.plants") ==
        *statistics::smallest_start(500, 0.95, 0.95));
  CHECK(sample.value(sample.sheet({ready_by("2027-05-07", 500)}), "s.plants") ==
        std::ceil(500 / 0.92));
}

TEST_CASE("plants that multiply") {
  // 3.5 cuttings of each mother plant: 200 cuttings need 58 plants, 58 at 10 % loss 65.
  const std::string stages = R"(
  part cutting
  stage s of plant { lasts 10 days  loses 10 %  yields 3.5 per plant }
  stage c of cutting { takes s  lasts 5 days }
)";
  CHECK(started(stages, 200, 0) == 65);
  CHECK(started(stages, 200, 0, "c") == 200);
  const Sample sample(protocol(stages));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 200)});
  CHECK(sample.value(sheet, "s.left") == doctest::Approx(65 * 0.9 * 3.5));
  CHECK(started("stage s of plant { lasts 9 days  yields 4 plants per plant }", 200, 0) == 50);
}

TEST_CASE("plants that go two ways") {
  const std::string stages = R"(
  part stock  part graft
  stage s of plant { lasts 10 days  loses 10 % }
  stage scion of plant { lasts 3 days  loses 5 % }
  stage root of stock { takes s  lasts 3 days  loses 50 % }
  stage g joins plant with stock into graft { lasts 5 days }
)";
  // 190 grafts: 200 scions and 380 stocks; 580 of 645 seedlings.
  CHECK(started(stages, 190, 0, "scion") == 200);
  CHECK(started(stages, 190, 0, "root") == 380);
  CHECK(started(stages, 190, 0) == 645);
}

// A tray of 72 for 80 plants is 2 trays: common practice, no published source.
TEST_CASE("whole trays and a minimum") {
  const std::string trays = "supply tray_72 in trays reused\n";
  const std::string use = "do \"Sow\" on day 1 { use 1 tray_72 per 72 }";
  CHECK(started(
            trays + "stage s of plant { lasts 9 days  loses 10 %  in whole tray_72  " + use + " }",
            72, 0) == 144);
  CHECK(started(trays + "stage s of plant { lasts 9 days  in whole tray_72  " + use + " }", 80,
                0) == 144);
  CHECK(started(trays + "stage s of plant { lasts 9 days  in whole tray_72  " + use + " }", 72,
                0) == 72);
  CHECK(started("stage s of plant { lasts 9 days  minimum 50 plants }", 20, 0) == 50);
  CHECK(started("stage s of plant { lasts 9 days  minimum 50 plants }", 51, 0) == 51);
}

TEST_CASE("what is more than needed is thrown out") {
  const Sample sample(protocol(R"(
  stage s of plant { lasts 9 days  minimum 50 plants  loses 10 %  discard surplus }
  stage t of plant { lasts 9 days  loses 20 % }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 20)});
  CHECK(sample.value(sheet, "s.plants") == 50);
  CHECK(sample.value(sheet, "s.left") == 25);
  CHECK(sample.value(sheet, "t.plants") == 25);
}

TEST_CASE("labels for each tray, and set-up time") {
  const Sample sample(protocol(R"(
  supply tray_72 in trays reused
  supply label in labels
  stage s of plant {
    lasts 9 days
    do "Sow" on day 1 {
      rate 100 per hour
      setup 30 min
      use 1 tray_72 per 72
      use 2 label per tray_72
    }
  }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 100)});
  CHECK(sample.value(sheet, "s.work1.use1") == 2);
  CHECK(sample.value(sheet, "s.work1.use2") == 4);
  CHECK(sample.value(sheet, "s.work1.hours") == 1.5 * 3600);
}

TEST_CASE("what goes by the tray goes by all trays of the stage, or of the nearest before it") {
  // 144 cells in trays of 72, and one spare tray for 720 plants that are begun: 2 + 1.
  const Sample sample(protocol(R"(
  supply tray_72 in trays reused
  supply label in labels
  stage sow of plant {
    lasts 9 days
    space tray_72
    do "Sow" on day 1 {
      use 1 tray_72 per 72
      use 5 label per tray_72
      use 1 tray_72 per 720
      use 2 label per tray_72
    }
    do "Water" daily { time 20 s per tray_72 }
  }
  stage grow of plant {
    lasts 9 days
    do "Water" daily { time 10 s per tray_72  use 1 label per load of 2 tray_72 }
  }
  stage repot of plant {
    lasts 9 days
    do "Repot" on day 1 { use 1 tray_72 per 36  use 1 label per tray_72 }
  }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 144)});
  CHECK(sample.value(sheet, "sow.work1.use2") == 10);  // the spare one comes later
  CHECK(sample.value(sheet, "sow.work1.use4") == 6);
  CHECK(sample.value(sheet, "sow.space") == 3);
  CHECK(sample.value(sheet, "sow.work2.hours") == 60);
  CHECK(sample.value(sheet, "grow.work1.hours") == 30);
  CHECK(sample.value(sheet, "grow.work1.use1") == 2);   // two loads are begun
  CHECK(sample.value(sheet, "repot.work1.use2") == 4);  // its own four, not those before
}

TEST_CASE("more than can be started is refused") {
  const Sample sample(protocol(losing("99.99 %")));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 1e7)});
  REQUIRE(unmet_expectations({sheet, 0}).size() == 1);
  CHECK(sample.t().expectations[unmet_expectations({sheet, 0})[0]].message.starts_with(
      "More plants than"));
}

TEST_CASE("where plants go two ways, exactly as many as are needed are enough") {
  const Sample sample(protocol(R"(
  part scion  part stock  part graft
  stage s of plant { lasts 9 days }
  stage t of scion { takes s  lasts 3 days }
  stage r of stock { takes s  lasts 3 days }
  stage g joins scion with stock into graft { lasts 1 day }
)"));
  const auto chance = [&](std::optional<double> counted) {
    BatchFacts batch = ready_by("2027-05-07", 100);
    if (counted) batch.counted.emplace_back(sample.cell("s.left"), *counted);
    const Sheet sheet = sample.sheet({batch});
    CHECK(sample.value(sheet, "s.plants") == 200);
    return prospects(Row(sheet, 0))->chance;
  };
  CHECK(chance(200) == 1);
  CHECK(chance(199) == 0);
  // Nothing is lost, so what is started is what is needed.
  CHECK(chance(std::nullopt) == 1);
}

TEST_CASE("of what was not picked at first, as many come later as the losses leave") {
  const Sample sample(protocol(R"(
  stage s of plant { lasts 20 days  loses 3 %  picks 60 % on day 4, 30 % on day 8 }
)"));
  BatchFacts batch = ready_by("2027-05-07", 100);
  batch.counted.emplace_back(sample.t().stages[0].picked[0], 70);
  const Sheet sheet = sample.sheet({batch});
  const auto started = static_cast<int>(sample.value(sheet, "s.plants"));
  // Each of the rest was lost or is picked later.
  const double later = 0.97 * 0.3 / (1 - 0.97 * 0.6);
  CHECK(prospects(Row(sheet, 0))->chance ==
        doctest::Approx(at_least(started - 70, 30, later)).epsilon(1e-9));
}

TEST_CASE("only the grades that go on count as plants that go on") {
  const Sample sample(protocol(R"(
  stage s of plant { lasts 20 days  loses 3 %  picks 60 % on day 4, 30 % on day 8
    grades first 80 %, second 12 % sold, weak 5 % thrown out }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07", 100)});
  CHECK(sample.value(sheet, "s.kept") == doctest::Approx(0.9 * 0.8));
  // 100 / (0.97 x 0.9 x 0.8) = 143.2
  CHECK(sample.value(sheet, "s.plants") == 144);
}
