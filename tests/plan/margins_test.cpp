#include "plan/needs/margins.hpp"

#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

TEST_CASE("one percent more take saves what is not started") {
  Planned planned(R"(protocol p "P" {
    input take = 80 % from 50 % to 80.5 %
    input rot = 10 %
    supply seed in seeds
    part plant
    stage sow of plant {
      lasts 9 days
      loses 1 - take
      do "Sow" on day 1 { use 1 seed each }
    }
    stage grow of plant { lasts 9 days  loses rot }
  })");
  planned.add("A", 720, "2027-05-07");
  planned.site().currency = book::Placed<std::string>{"EUR", {}};
  planned.site().supplies["seed"].price = quantity("0.50");
  // 720 / (0.8 * 0.9) = 1000 seeds; at 9 % rot 720 / (0.8 * 0.91) = 989.01, so 990. A take of 81 %
  // lies outside its range.
  const std::vector<Margin> found = margins(planned.plan());
  REQUIRE(found.size() == 1);
  CHECK(found[0].input == "rot");
  CHECK(found[0].fewer == 10);
  CHECK(found[0].saving == doctest::Approx(5.0));
}

TEST_CASE("better grafting never costs money: what comes beyond the number can be thrown out") {
  Planned planned(R"(protocol p "P" {
    input take = 80 % from 50 % to 90 %
    supply tray in trays reused
    supply pot in pots
    part plant
    stage sow of plant {
      lasts 9 days
      loses 1 - take
      in whole tray
      do "Sow" on day 1 { use 1 tray per 100 }
    }
    stage grow of plant { lasts 9 days  do "Pot" on day 1 { use 1 pot each } }
  })");
  planned.add("A", 150, "2027-05-07");
  planned.site().currency = book::Placed<std::string>{"EUR", {}};
  planned.site().supplies["pot"].price = quantity("0.50");
  // 187.5 make two full trays, with 81 % as well: none fewer are sown, and two more are potted.
  const std::vector<Margin> found = margins(planned.plan());
  REQUIRE(found.size() == 1);
  CHECK(found[0].fewer == 0);
  CHECK(found[0].saving == doctest::Approx(0));
}

TEST_CASE("what was counted moves a plan that need not be sure; a sure one rests on the count") {
  Planned planned(R"(protocol p "P" {
    input take = 80 % seen 160 of 200 from 50 % to 90 %
    supply seed in seeds
    part plant
    stage sow of plant { lasts 9 days  loses 1 - take  do "Sow" on day 1 { use 1 seed each } }
  })");
  planned.add("A", 720, "2027-05-07");
  const std::vector<Margin> found = margins(planned.plan());
  REQUIRE(found.size() == 1);
  CHECK(found[0].fewer == 11);  // 900 and 888.9 seeds
  planned.book().batches[0].sure = book::Placed<double>{0.9, {}};
  CHECK(margins(planned.plan()).empty());
}
