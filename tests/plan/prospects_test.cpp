#include "sheet/counts/prospects.hpp"

#include <cmath>
#include <random>

#include "book/batches/batch.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"
#include "statistics/binomial.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

const std::string graft = R"(protocol p "P" {
  part scion  part stock  part plant
  stage raise of scion { lasts 10 days  loses 10 % }
  stage root of stock { lasts 10 days  loses 5 % }
  stage graft joins scion with stock into plant { lasts 1 day }
  stage heal of plant { lasts 9 days  loses 20 % }
})";

sheet::Prospects of(const Plan& plan) {
  const auto found = sheet::prospects(plan.row_of(plan.batches.front()));
  REQUIRE(found);
  return *found;
}

double start_of(const Plan& plan, std::size_t stage) {
  const sheet::Sheet& sheet = plan.sheets.front();
  return sheet.value(sheet.layout().stages[stage].plants, 0);
}

}  // namespace

TEST_CASE("the chance of one chain is a binomial tail") {
  Planned planned(
      R"(protocol p "P" { part plant  stage grow of plant { lasts 9 days  loses 15 % } })");
  planned.add("A", 100, "2027-05-07");
  // 118 starts at 85 % reach 100 only 59.3 % of the time: binomial tail, exact sum.
  CHECK(of(planned.plan()).chance == doctest::Approx(0.593).epsilon(0.001));
  CHECK(of(planned.plan()).expected == doctest::Approx(118 * 0.85));
}

// One number everywhere: what is told as expected is what the table of stages holds.
TEST_CASE("what is expected is what the last stage of the plan leaves") {
  for (const double sure : {0.0, 0.9}) {
    Planned planned(graft);
    book::Batch& batch = planned.add("A", 44, "2027-05-07");
    if (sure > 0) batch.sure = book::Placed<double>{sure, {}};
    const Plan& plan = planned.plan();
    const sheet::Row row = plan.row_of(plan.batches.front());
    CHECK(of(plan).expected == row.value(row.layout().stages[3].left));
  }
}

TEST_CASE("a plan is at least as sure as was asked") {
  for (const double sure : {0.5, 0.9, 0.99}) {
    CAPTURE(sure);
    Planned planned(graft);
    planned.add("A", 300, "2027-05-07").sure = book::Placed<double>{sure, {}};
    const double chance = of(planned.plan()).chance;
    CHECK(chance >= sure);
    // Whole plants are started, so it is a little more.
    CHECK(chance < sure + 0.02);
  }
}

// A Monte-Carlo run of 40,000 seasons: the standard error of a share near 0.4 is 0.0025, and four
// of them hold all but one seed in 16,000.
TEST_CASE("the chance over a join agrees with playing it out") {
  Planned planned(graft);
  planned.add("A", 60, "2027-05-07");
  const Plan& plan = planned.plan();
  const sheet::Prospects exact = of(plan);
  const auto scions = static_cast<int>(start_of(plan, 0));
  const auto stocks = static_cast<int>(start_of(plan, 1));
  std::mt19937 random(4711);
  constexpr int seasons = 40'000;
  int reached = 0;
  double sum = 0;
  for (int i = 0; i < seasons; ++i) {
    const int a = std::binomial_distribution<int>(scions, 0.9)(random);
    const int b = std::binomial_distribution<int>(stocks, 0.95)(random);
    const int left = std::binomial_distribution<int>(std::min(a, b), 0.8)(random);
    reached += left >= 60 ? 1 : 0;
    sum += left;
  }
  const double error = std::sqrt(exact.chance * (1 - exact.chance) / seasons);
  CHECK(std::abs(static_cast<double>(reached) / seasons - exact.chance) < 4 * error);
  // Joined parts that are just enough on average are a little short of it.
  CHECK(sum / seasons < exact.expected);
  CHECK(sum / seasons > 0.95 * exact.expected);
  CHECK(exact.low < 60);
  CHECK(exact.high > 60);
}

TEST_CASE("where plants go two ways the chance is a bound") {
  Planned planned(R"(protocol p "P" {
    part seedling  part scion  part stock  part plant
    stage sow of seedling { lasts 9 days  loses 10 % }
    stage top of scion { takes sow  lasts 3 days  loses 5 % }
    stage root of stock { takes sow  lasts 3 days  loses 20 % }
    stage graft joins scion with stock into plant { lasts 1 day }
  })");
  planned.add("A", 100, "2027-05-07").sure = book::Placed<double>{0.9, {}};
  const sheet::Prospects found = of(planned.plan());
  CHECK(found.bound);
  CHECK(found.chance >= 0.9);
  CHECK(found.chance < 0.97);
}

TEST_CASE("where plants go two ways, exactly as many as are needed are enough") {
  const auto chance = [](std::int64_t counted) {
    Planned planned(R"(protocol p "P" {
      part seedling  part scion  part stock  part plant
      stage sow of seedling { lasts 9 days }
      stage top of scion { takes sow  lasts 3 days }
      stage root of stock { takes sow  lasts 3 days }
      stage graft joins scion with stock into plant { lasts 1 day }
    })");
    planned.add("A", 100, "2027-05-07").counted.push_back({"sow", counted, {}});
    return of(planned.plan()).chance;
  };
  CHECK(chance(200) == 1);
  CHECK(chance(199) == 0);
}

TEST_CASE("counted plants face only the losses that lie ahead of them") {
  Planned planned(R"(protocol p "P" {
    part seedling  part scion  part stock  part plant
    stage sow of seedling { lasts 9 days  loses 50 % }
    stage grow of seedling { lasts 9 days  loses 10 % }
    stage top of scion { takes grow  lasts 3 days }
    stage root of stock { takes grow  lasts 3 days }
    stage graft joins scion with stock into plant { lasts 1 day }
  })");
  planned.add("A", 100, "2027-05-07").counted.push_back({"sow", 240, {}});
  // At least 200 of 240 at 90 %: binomial tail, exact sum.
  CHECK(of(planned.plan()).chance ==
        doctest::Approx(statistics::binomial_at_least(240, 200, 0.9)).epsilon(1e-9));
}

TEST_CASE("a count of losses says the same as the count of takes beside it") {
  const auto started = [](const std::string& input, const std::string& loses,
                          const std::string& share, double good) {
    Planned planned("protocol p \"P\" { input " + input + "  part plant  stage root of plant { " +
                    "lasts 9 days  loses " + loses + " } }");
    book::Batch& batch = planned.add("A", 100, "2027-05-07");
    batch.sure = book::Placed<double>{0.95, {}};
    const std::string name = input.substr(0, input.find(' '));
    batch.set[name] = quantity(share);
    batch.set[name].good = good;
    batch.set[name].seen = 200;
    return start_of(planned.plan(), 0);
  };
  const double by_losses = started("rot = 10 %", "rot", "8 %", 16);
  CHECK(by_losses == started("take = 90 %", "1 - take", "92 %", 184));
  CHECK(by_losses == *statistics::smallest_start(100, *statistics::Rate::counted(184, 200), 0.95));
}

TEST_CASE("a batch brings the count behind its own share") {
  const std::string rooting = R"(protocol p "P" {
    input take = 90 %
    part plant
    stage root of plant { lasts 9 days  loses 1 - take }
  })";
  const auto started = [&](double good, double seen) {
    Planned planned(rooting);
    book::Batch& batch = planned.add("A", 500, "2027-05-07");
    batch.sure = book::Placed<double>{0.95, {}};
    batch.set["take"] = quantity("82 %");
    batch.set["take"].good = good;
    batch.set["take"].seen = seen;
    return start_of(planned.plan(), 0);
  };
  CHECK(started(0, 0) == *statistics::smallest_start(500, 0.82, 0.95));
  CHECK(started(164, 200) ==
        *statistics::smallest_start(500, *statistics::Rate::counted(164, 200), 0.95));
  CHECK(started(164, 200) > started(0, 0));
}
