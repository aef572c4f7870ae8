#include "plan/advice.hpp"

#include "plan/orders/order.hpp"
#include "plan/orders/settings.hpp"
#include "planned.hpp"

/// What can be carried out as it is written and is hardly meant so; small faults of counting.
using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

const std::string rooting = R"(protocol p "P" {
  part plant
  stage root of plant { lasts 9 days  loses 15 % }
})";

std::string told(const text::Diagnostics& diagnostics) {
  std::string out;
  for (const text::Diagnostic& d : diagnostics.sorted()) out += d.code + " " + d.message + "\n";
  return out;
}

}  // namespace

TEST_CASE("batches that leave their number to luck are told once") {
  Planned planned(rooting);
  planned.add("A", 100, "2027-05-07");
  planned.add("B", 100, "2027-05-14");
  planned.add("C", 100, "2027-05-21").sure = book::Placed<double>{0.9, {}};
  text::Diagnostics found;
  advise_assurance(planned.plan(), found);
  // 118 starts at 85 % reach 100 only 59.3 % of the time: binomial tail, exact sum.
  CHECK(told(found) ==
        "not-sure `A` starts with what brings 100 plants on average, and reaches them with 59 % "
        "chance; 1 other batch leaves it to luck as well.\n");
}

TEST_CASE("work that takes the same for however many plants is told of in large batches") {
  const std::string watered = R"(protocol p "P" {
    supply soap in mL
    supply tray in trays reused
    part plant
    stage grow of plant {
      lasts 9 days
      do "Fill" on day 1 { rate 2000 per hour  use 1 tray per 100 }
      do "Water" on day 2 { time WATER }
      do "Wash" on day 3 { rate 5000 per hour  use 100 mL soap WASH }
      do "Look at twenty" on day 4 { time 10 min  record green in % }
    }
  })";
  const auto findings = [&](const std::string& time, const std::string& wash, int plants) {
    std::string text = watered;
    text.replace(text.find("WATER"), 5, time);
    text.replace(text.find("WASH"), 4, wash);
    Planned planned(text);
    planned.add("A", plants, "2027-05-07");
    text::Diagnostics found;
    advise_fixed_work(planned.plan(), found);
    return told(found);
  };
  CHECK(findings("15 min", "", 53701) ==
        "fixed-work \"Water\" takes 15 min however many plants there are, and `A` has 53701 in "
        "`grow`.\n");
  CHECK(findings("15 min", "", 200).empty());
  CHECK(findings("5 s per tray", "per tray", 53701).empty());
  CHECK(findings("5 s per tray", "per load of 20 tray", 53701).empty());
  CHECK(
      findings("5 s per tray", "", 53701).starts_with("fixed-work \"Wash\" uses 100 mL of `soap`"));
}

TEST_CASE("more people than a crew has are told of") {
  Planned planned(R"(protocol p "P" {
    part plant
    stage pot of plant { lasts 9 days  do "Pot" on day 1 { time 1 h  people 3  crew potters } }
  })");
  planned.add("A", 100, "2027-05-07");
  book::Crew potters;
  potters.people = 2;
  potters.hours = 6 * 3600.0;
  planned.site().crews["potters"] = potters;
  CHECK(planned.problems().starts_with(
      "few-people \"Pot\" is for 3 people, and crew `potters` has 2."));
  planned.site().crews["potters"].extra = {{0, 100'000, 1, {}}};
  Planned enough(rooting);
  planned.plan();
  text::Diagnostics found;
  check_people(planned.plan(), found);
  CHECK(told(found).empty());
}

TEST_CASE("more plants recorded than can have come are told of") {
  Planned planned(rooting);
  planned.add("A", 85, "2027-05-07").counted = {{"root", 1000, {}}};
  CHECK(planned.problems().starts_with(
      "many-recorded 1000 are recorded at the end of `root`, which starts with 100 in the plan."));
  Planned trays(rooting);
  trays.add("A", 85, "2027-05-07").counted = {{"root", 104, {}}};
  CHECK(trays.problems().empty());
}

TEST_CASE("days of spread work have trays for all plants that they begin with") {
  for (const int plants : {130, 131, 199, 201}) {
    CAPTURE(plants);
    Planned planned(R"(protocol p "P" {
      supply tray in trays reused
      part plant
      stage pot of plant {
        lasts 9 days
        do "Pot" on day 1 within 4 days { rate 10 per hour  crew potters  use 1 tray per 10 }
      }
    })");
    planned.add("A", plants, "2027-05-07");
    book::Crew potters;
    potters.hours = 7 * 3600.0;
    planned.site().crews["potters"] = potters;
    const Plan& plan = planned.plan();
    REQUIRE(plan.orders.size() > 1);
    double so_far = 0;
    double trays = 0;
    for (const WorkOrder& order : plan.orders) {
      const OrderDetail detail = describe(plan, order);
      so_far += detail.plants;
      trays += detail.supplies.front().amount;
      CHECK(trays >= so_far / 10);
    }
    CHECK(so_far == plants);
    CHECK(trays == (plants + 9) / 10);
  }
}

TEST_CASE("an order lists each supply once") {
  Planned planned(R"(protocol p "P" {
    supply label in labels
    supply tray in trays reused
    part plant
    stage pot of plant {
      lasts 9 days
      do "Pot" on day 1 { use 1 tray per 50  use 1 label each  use 2 label per tray }
    }
  })");
  planned.add("A", 100, "2027-05-07");
  const Plan& plan = planned.plan();
  const OrderDetail detail = describe(plan, plan.orders.front());
  REQUIRE(detail.supplies.size() == 2);
  CHECK(detail.supplies[1].supply == "label");
  CHECK(detail.supplies[1].amount == 104);
}

TEST_CASE("a stage of some hours has its settings on its day") {
  Planned planned(R"(protocol p "P" {
    part plant
    stage soak of plant { lasts 4 h  keep air 20 degC }
    stage grow of plant { lasts 9 days }
  })");
  planned.add("A", 100, "2027-05-07");
  const Plan& plan = planned.plan();
  const sheet::Row row = plan.row_of(plan.batches.front());
  const auto spans = setting_spans(plan, 0, language::StageId(0));
  REQUIRE(spans.size() == 1);
  CHECK(spans[0].from == row.start(language::StageId(0)));
  CHECK(spans[0].to == spans[0].from);
}

TEST_CASE("two supplies of one name are one thing to buy only when they are alike") {
  const auto findings = [](const std::string& one, const std::string& other) {
    const auto with = [](const std::string& name, const std::string& supply) {
      return "protocol " + name + " \"P\" { supply pot " + supply +
             " part plant stage pot of plant { lasts 9 days do \"Pot\" on day 1 { use 1 pot each } "
             "} }\n";
    };
    Planned planned(with("p", one) + with("q", other));
    planned.add("A", 100, "2027-05-07");
    planned.add("B", 100, "2027-05-07").protocol.value = "q";
    return planned.problems();
  };
  CHECK(findings("\"Pot, 9 cm\" in pots", "\"Pot, 9 cm\" in pots").empty());
  CHECK(findings("\"Pot, 9 cm\" in pots", "in pots").empty());
  CHECK(
      findings("\"Pot, 9 cm\" in pots", "\"Pot, 14 cm\" in pots")
          .starts_with("supply-differs `pot` is \"Pot, 14 cm\" here and \"Pot, 9 cm\" elsewhere"));
  CHECK(findings("in pots", "in trays").starts_with("supply-differs `pot` is in trays here"));
  CHECK(findings("in pots", "in pots reused").starts_with("supply-differs `pot` is borrowed here"));
}
