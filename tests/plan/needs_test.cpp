#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"
#include "priced.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using calendar::iso_date;

namespace {

/// "A 80, B 100" on the day on which most is out.
std::string peak_of(const PricedBook& book, const SupplyNeed& need) {
  std::string text = iso_date(need.peak_day) + ":";
  for (const PeakShare& share : need.peak) {
    text += " " + book.id(share.batch) + " " + units::format_number(share.amount);
  }
  return text;
}

/// Makes the clips come back at the end of a stage.
void give_back_after(PricedBook& book, const std::string& stage) {
  auto& stages = book.protocol().stages;
  stages[0].works[0].uses[0].until = stages.find(stage);
}

}  // namespace

TEST_CASE("80 grafts with a clip each need 80 clips; 80 plants at 72 a tray need 2 trays") {
  PricedBook book;
  book.add("A", 80, "2027-04-26");
  const Plan& plan = book.plan();
  REQUIRE(plan.orders.size() == 3);
  CHECK(iso_date(plan.orders[0].date) == "2027-04-12");
  CHECK(book.need("clip").amount == 80);
  // Trays are taken whole: common practice, and what the language reference says.
  CHECK(book.need("tray").amount == 2);
  CHECK(book.need("label").amount == 80);
  // 80 times 250 mL is 20 L.
  CHECK(book.need("mix").amount == doctest::Approx(0.020));
  CHECK(book.need("clip").packs == 1);
}

TEST_CASE("what comes back is needed at the most that is out at once") {
  PricedBook book;
  book.add_three();
  SUBCASE("until the day on which its batch is ready, that day included") {
    const SupplyNeed clip = book.need("clip");
    CHECK(clip.amount == 240);
    CHECK(clip.packs == 2);
    CHECK(peak_of(book, clip) == "2027-04-26: A 80 B 100 C 60");
  }
  SUBCASE("until the end of a stage: it is free on the day on which that is over") {
    give_back_after(book, "healing");
    const SupplyNeed clip = book.need("clip");
    // Healing ends on 22 and 29 April: A and B overlap by three days, B and C as well.
    CHECK(clip.amount == 180);
    CHECK(peak_of(book, clip) == "2027-04-19: A 80 B 100");
  }
  SUBCASE("of stages that do not overlap the largest counts") {
    give_back_after(book, "grafting");
    const SupplyNeed clip = book.need("clip");
    CHECK(clip.amount == 100);
    CHECK(peak_of(book, clip) == "2027-04-19: B 100");
  }
}

TEST_CASE("what is lent for hours is out for its day") {
  std::string hours = splice;
  hours.replace(hours.find("lasts 1 day\n"), 11, "lasts 3 hours");
  PricedBook book(hours);
  give_back_after(book, "grafting");
  book.add("A", 80, "2027-04-26");
  book.add("B", 100, "2027-04-26");
  const SupplyNeed clip = book.need("clip");
  CHECK(clip.amount == 180);
  CHECK(clip.takings[0].back == clip.takings[0].day + 1);
}

TEST_CASE("what comes back on a day can go out again on it") {
  PricedBook book;
  give_back_after(book, "growing");
  book.add("A", 80, "2027-04-26");
  book.add("B", 80, "2027-05-10");
  // A is over on 26 April, the day on which B is grafted.
  const SupplyNeed clip = book.need("clip");
  CHECK(clip.takings[0].back == clip.takings[1].day);
  CHECK(clip.amount == 80);
}

TEST_CASE("a share that is spoilt is taken on top") {
  PricedBook book;
  book.add_three();
  SUBCASE("of what is counted whole pieces for each batch") {
    book.supply("label").scrap = 0.05;
    const SupplyNeed label = book.need("label");
    // 80, 100 and 60 over 0.95 are 84.2, 105.3 and 63.2.
    REQUIRE(label.takings.size() == 3);
    CHECK(label.takings[0].amount == 85);
    CHECK(label.takings[1].amount == 106);
    CHECK(label.takings[2].amount == 64);
    CHECK(label.amount == 255);
    CHECK(label.spoilt == 15);
  }
  SUBCASE("of what is measured as much as a measure shows, for each order") {
    book.supply("mix").scrap = 0.2;
    // 80, 100 and 60 times 250 mL over 0.8 are 25, 31.25 and 18.75 L: 25, 32 and 19 L.
    CHECK(book.need("mix").amount == doctest::Approx(0.076));
    CHECK(book.need("mix").spoilt == doctest::Approx(0.016));
  }
  SUBCASE("the site's share goes before the protocol's") {
    book.supply("label").scrap = 0.05;
    book.facts("label").scrap = book::Placed<double>{0, {}};
    CHECK(book.need("label").amount == 240);
  }
  SUBCASE("what is spoilt of a reused supply does not come back") {
    book.supply("clip").scrap = 0.05;
    CHECK(book.need("clip").amount == 255);
    give_back_after(book, "healing");
    CHECK(book.need("clip").amount == 85 + 106);
    // The five clips that A spoils are missing when C is grafted: 5 + 106 + 64.
    book.protocol().stages[0].works[0].uses[0].until = language::StageId(0);
    const SupplyNeed clip = book.need("clip");
    CHECK(clip.amount == 5 + 106);
    CHECK(clip.spoilt == 15);
    CHECK(peak_of(book, clip) == "2027-04-19: A 5 B 106");
  }
}

TEST_CASE("scrap and until as a protocol writes them") {
  std::string text = splice;
  text.replace(text.find("pack 200 reused"), 15, "pack 200 scrap 5 % reused");
  text.replace(text.find("use 1 clip each"), 15, "use 1 clip each until healing.end");
  PricedBook book(text);
  book.add_three();
  CHECK(book.need("clip").amount == 85 + 106);
}

TEST_CASE("the total of a batch is rounded up once, however many orders it has") {
  PricedBook book(R"(protocol sticks {
    supply stick in sticks
    part plant
    stage growing of plant {
      lasts 20 days
      do "Mark" daily { use 1 stick }
    }
  })");
  book.supply("stick").scrap = 0.05;
  book.add("A", 10, "2027-04-26");
  const SupplyNeed stick = book.need("stick");
  REQUIRE(stick.takings.size() == 20);
  // 20 over 0.95 is 21.05: a spare at once, and one for the last twentieth.
  CHECK(stick.amount == 22);
  CHECK(stick.takings[0].amount == 2);
  CHECK(stick.takings[1].amount == 1);
  CHECK(stick.takings[18].amount == 1);
  CHECK(stick.takings[19].amount == 2);
}

TEST_CASE("days on which a crew is wanted for longer than it is there") {
  PricedBook book;
  book.add_three();
  book.add("D", 10, "2027-05-10");
  book.site().crews["bench"].people = 2;
  book.site().crews["bench"].hours = 3600;
  const Needs needs = book.needs();
  REQUIRE(needs.crews.size() == 3);
  CHECK(needs.crews[0].crew.empty());
  // Four looks of 30 minutes.
  CHECK(needs.crews[0].seconds == 4 * 1800);
  CHECK(needs.crews[0].overloads.empty());
  const CrewNeed& bench = needs.crews[1];
  CHECK(bench.crew == "bench");
  CHECK(bench.seconds == doctest::Approx(250 / 40.0 * 3600));
  // 80 grafts take the 2 hours that are there, 100 take 2.5, and 60 with 10 take 1.75.
  REQUIRE(bench.overloads.size() == 1);
  CHECK(iso_date(bench.overloads[0].day) == "2027-04-19");
  CHECK(bench.overloads[0].seconds == doctest::Approx(9000));
  CHECK(bench.overloads[0].there == 7200);
  CHECK(bench.overloads[0].batches == std::vector<std::uint32_t>{1});
  // The site says nothing of `garden`.
  CHECK(needs.crews[2].overloads.empty());
  CHECK(needs.crews[2].facts == nullptr);
  CHECK(crew_time(book.plan(), bench, day("2027-04-19")) == 7200);
  CHECK(crew_time(book.plan(), bench, day("2027-04-18")) == 0);
}

TEST_CASE("work that is spread over days takes its supplies and hours with it") {
  std::string patient = splice;
  patient.replace(patient.find("lasts 1 day"), 11, "lasts 3 days");
  patient.replace(patient.find("on day 1 {"), 10, "on day 1 within 2 days {");
  PricedBook book(patient);
  book.add("A", 100, "2027-04-30");
  book.site().crews["bench"].people = 1;
  book.site().crews["bench"].hours = 3600;
  // 2.5 hours of a crew that has one a day: three days with 34, 33 and 33 labels.
  const SupplyNeed label = book.need("label");
  REQUIRE(label.takings.size() == 3);
  CHECK(label.takings[0].amount == 34);
  CHECK(label.takings[2].amount == 33);
  CHECK(label.takings[2].day == label.takings[0].day + 2);
  CHECK(label.amount == 100);
  CHECK(book.need("tray").amount == 2);
  const CrewNeed bench = book.needs().crews[1];
  CHECK(bench.seconds == doctest::Approx(9000));
  CHECK(bench.overloads.empty());
}

TEST_CASE("needs by batch, day and week add up to the same") {
  PricedBook book;
  book.add_three();
  book.supply("label").scrap = 0.05;
  const Plan& plan = book.plan();
  const Needs needs = total_needs(plan);
  for (const Grouping grouping : {Grouping::batch, Grouping::day, Grouping::week}) {
    double labels = 0;
    double seconds = 0;
    for (const NeedsGroup& group : group_needs(plan, needs, grouping)) {
      for (const GroupShare& share : group.supplies) {
        if (needs.supplies[share.index].supply == "label") labels += share.amount;
      }
      for (const GroupShare& share : group.crews) seconds += share.amount;
    }
    CHECK(labels == 255);
    CHECK(seconds == doctest::Approx(240 / 40.0 * 3600 + 3 * 1800 + 3 * 900));
  }
  const auto weeks = group_needs(plan, needs, Grouping::week);
  // Grafting on Monday, feeding on the Thursday of the week after: weeks 15 to 18 of 2027.
  REQUIRE(weeks.size() == 4);
  CHECK(iso_date(weeks[0].first) == "2027-04-12");
  CHECK(iso_date(weeks[3].first) == "2027-05-03");
  const auto days = group_needs(plan, needs, Grouping::day);
  REQUIRE(days.size() == 9);
  CHECK(iso_date(days[1].first) == "2027-04-14");
  CHECK(days[1].supplies.empty());
}

TEST_CASE("a batch counts the most that it has out of what comes back") {
  PricedBook book(R"(protocol domes {
    supply dome in domes reused
    part plant
    stage first of plant { lasts 3 days  do "Cover" on day 1 { use 1 dome per 10 } }
    stage second of plant { lasts 3 days  do "Cover" on day 1 { use 1 dome per 20 } }
  })");
  auto& stages = book.protocol().stages;
  for (const language::StageId s : stages.ids()) stages[s].works[0].uses[0].until = s;
  book.add("A", 100, "2027-04-26");
  const Plan& plan = book.plan();
  const Needs needs = total_needs(plan);
  const auto batches = group_needs(plan, needs, Grouping::batch);
  REQUIRE(batches.size() == 1);
  // Ten domes come back before five go out.
  CHECK(batches[0].supplies[0].amount == 10);
  CHECK(group_needs(plan, needs, Grouping::day)[1].supplies[0].amount == 5);
}
