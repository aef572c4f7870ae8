#include <algorithm>
#include <map>
#include <random>
#include <set>

#include "book/batches/batch.hpp"
#include "plan/needs/needs.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/load.hpp"
#include "planned.hpp"
#include "sheet/sheet.hpp"
#include "sheet/template/template.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using calendar::iso_date;
using calendar::parse_iso_date;

TEST_CASE("a batch becomes dated orders") {
  Planned planned(layering);
  planned.add("A", 100, "2027-06-11");
  const Plan& plan = planned.plan();
  REQUIRE(plan.batches.size() == 1);
  CHECK(plan.conflicts.empty());
  const OrderDetail first = describe(plan, plan.orders.front());
  CHECK(first.id == "A/wound/1/1");
  // 100 plants at a take of 80 % start as 125; potting on 10 June, 20 days of rooting before it.
  CHECK(iso_date(first.date) == "2027-05-21");
  CHECK(first.plants == 125);
  CHECK(first.person_seconds == doctest::Approx(125 / 40.0 * 3600));
  CHECK(first.crew == "cutters");
  CHECK(first.room == "bench");
  REQUIRE(first.supplies.size() == 1);
  CHECK(first.supplies.front().amount == 125);
  CHECK(first.records == std::vector<std::string>{"ringed (plants)"});
  // The blade that cutting brings along, and the label that goes before everything.
  CHECK(first.cautions.size() == 2);
  CHECK(text::describe(first.line) == "sample.bud:11:5");
}

TEST_CASE("ids are unique and stay when the ready date moves; nobody in a crew works at weekends") {
  std::mt19937 random(20270314);
  std::set<std::string> before;
  for (int round = 0; round < 40; ++round) {
    Planned planned(layering);
    const calendar::Day ready = *parse_iso_date("2027-03-01") + static_cast<int>(random() % 120);
    planned.add("A", 100, iso_date(ready));
    const Plan& plan = planned.plan();
    std::set<std::string> ids;
    calendar::Day last = 0;
    for (const WorkOrder& order : plan.orders) {
      const OrderDetail detail = describe(plan, order);
      CHECK(ids.insert(detail.id).second);
      CHECK(order.date >= last);
      last = order.date;
      CHECK(order.date >= order.due);
      if (!detail.crew.empty()) CHECK(plan.book->site.working.works(order.date));
    }
    // Turns that find nobody are left out, so ids come and go only among the looks.
    std::erase_if(ids, [](const std::string& id) { return id.starts_with("A/rooting/2/"); });
    if (round > 0) CHECK(ids == before);
    before = ids;
  }
}

TEST_CASE("south of the equator a season is half a year later") {
  Planned planned(R"(protocol p "P" { part plant
    stage sow of plant { season 1 January to 31 January  lasts 3 days } })");
  planned.add("A", 10, "2027-12-31");
  planned.site().latitude = book::Placed<double>{-34, {}};
  const Plan& south = planned.plan();
  CHECK(
      iso_date(south.row_of(south.batches[0]).start(language::StageId(0))).starts_with("2027-07"));
  planned.site().latitude->value = 34;
  const Plan& north = planned.plan();
  CHECK(
      iso_date(north.row_of(north.batches[0]).start(language::StageId(0))).starts_with("2027-01"));
}

TEST_CASE("less than half a plant is missed by nobody") {
  const auto too_few = [](std::int64_t counted) {
    Planned planned(R"(protocol p "P" { part plant
      stage sow of plant { lasts 5 days }
      stage grow of plant { lasts 5 days  loses 60 % } })");
    planned.add("A", 100, "2027-06-04").counted.push_back({"sow", counted, {}});
    return !planned.plan().conflicts.empty();
  };
  CHECK_FALSE(too_few(249));  // 99.6 are expected
  CHECK(too_few(248));        // 99.2
}

TEST_CASE("a later ready date never gives an earlier date") {
  std::map<std::string, calendar::Day> before;
  for (int shift = 0; shift < 60; ++shift) {
    Planned planned(layering);
    planned.add("A", 50, iso_date(*parse_iso_date("2027-04-01") + shift));
    const Plan& plan = planned.plan();
    for (const BatchPlan& batch : plan.batches) {
      const sheet::Template& t = plan.sheet_of(batch).layout();
      for (std::size_t s = 0; s < t.stages.size(); ++s) {
        const auto start =
            static_cast<calendar::Day>(plan.sheet_of(batch).value(t.stages[s].start, batch.row));
        auto& earlier = before[t.protocol.stages[s].name];
        CHECK(start >= earlier);
        earlier = start;
      }
    }
  }
}

TEST_CASE("notes tell what the planner assumed") {
  Planned planned(layering);
  planned.add("A", 100, "2027-06-13");  // a Sunday
  const Plan& plan = planned.plan();
  const auto said = [&](const std::string& text) {
    return std::any_of(plan.notes.begin(), plan.notes.end(), [&](const Note& note) {
      return note.message.find(text) != std::string::npos;
    });
  };
  CHECK(said("Ready on Fri 2027-06-11, not on Sun 2027-06-13, which is a Sunday."));
}

TEST_CASE("a rule that a batch breaks is a conflict of that batch alone") {
  Planned planned(layering);
  planned.add("A", 100, "2027-06-11");
  planned.add("LATE", 100, "2027-10-15");
  const Plan& plan = planned.plan();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts.front().batch == "LATE");
  CHECK(plan.conflicts.front().message == "Too late in the year.");
}

TEST_CASE("dates that contradict each other come with their facts and with what would help") {
  Planned planned(layering);
  book::Batch& batch = planned.add("A", 100, "2027-06-11");
  batch.pins.push_back({"wound", book::Pin::Side::start, *parse_iso_date("2027-06-01"), {}});
  const Plan& plan = planned.plan();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts.front().code == "dates-contradict");
  CHECK(plan.conflicts.front().facts.size() >= 3);
  CHECK(!plan.conflicts.front().repairs.empty());
  CHECK(plan.orders.empty());
}

TEST_CASE("what a batch says is held against its protocol") {
  const auto problem = [](const auto& change) {
    Planned planned(layering);
    change(planned.add("A", 100, "2027-06-11"));
    return planned.problems();
  };
  CHECK(problem([](book::Batch& b) { b.protocol.value = "layerin"; }) ==
        "unknown-name There is no protocol named `layerin`. Did you mean `layering`?\n");
  CHECK(problem([](book::Batch& b) {
          b.edition = book::Placed<int>{2, {}};
        }) == "unknown-edition There is no edition 2 of `layering`. There is edition 3.\n");
  CHECK(problem([](book::Batch& b) { b.set["tak"] = quantity("70 %"); }) ==
        "unknown-name `layering` has no input `tak`. Did you mean `take`?\n");
  CHECK(problem([](book::Batch& b) { b.set["take"] = quantity("40 %"); }) ==
        "out-of-range `take` goes from 50 % to 100 % in `layering`. Stay inside, or widen the "
        "range in the protocol.\n");
  CHECK(problem([](book::Batch& b) { b.set["take"] = quantity("101 %"); }) ==
        "out-of-range `take` goes from 50 % to 100 % in `layering`. Stay inside, or widen the "
        "range in the protocol.\n");
  CHECK(problem([](book::Batch& b) {
          b.set["take"] = quantity("70 days");
        }).starts_with("unit-mismatch `take` wants"));
  CHECK(problem([](book::Batch& b) { b.lots["ties"].value = "old"; }) ==
        "unknown-name `layering` has no supply `ties`. Did you mean `tie`?\n");
  CHECK(problem([](book::Batch& b) {
          b.pins.push_back({"root", {}, 20000, {}});
        }).starts_with("unknown-name `layering` has no stage `root`."));
  CHECK(problem([](book::Batch&) {}).empty());
}

TEST_CASE("a batch's own input goes before the site's, that before the protocol's") {
  Planned planned(layering);
  planned.site().inputs["layering"]["take"] = quantity("50 %");
  planned.add("SITE", 100, "2027-06-11");
  planned.add("OWN", 100, "2027-06-11").set["take"] = quantity("100 %");
  const Plan& plan = planned.plan();
  const sheet::CellId plants = plan.sheets.front().layout().find("wound.plants");
  CHECK(plan.sheets.front().value(plants, 0) == 200);
  CHECK(plan.sheets.front().value(plants, 1) == 100);
}

TEST_CASE("rooms and crews that the site lacks are named, unless it lists none") {
  Planned planned(layering);
  planned.add("A", 100, "2027-06-11");
  CHECK(planned.problems().empty());
  Planned listed(layering);
  listed.add("A", 100, "2027-06-11");
  listed.site().rooms["tunnle"] = {};
  const std::string problems = listed.problems();
  CHECK(problems.find("missing-room The site \"Test\" has no room `tunnel`. Did you mean "
                      "`tunnle`?") != std::string::npos);
  CHECK(problems.find("missing-crew") == std::string::npos);
}

TEST_CASE("a room that the site lacks is told once, with all protocols that need it") {
  Planned planned(R"(
    protocol a "A" { part plant stage one of plant { lasts 2 days room shed }
                     stage two of plant { lasts 2 days room shed } }
    protocol b "B" { part plant stage one of plant { lasts 2 days room shed } })");
  planned.add("A1", 10, "2027-06-11");
  planned.add("B1", 10, "2027-06-11").protocol.value = "b";
  planned.site().rooms["bench"] = {};
  text::Diagnostics told;
  check_places(planned.plan(), told);
  const std::vector<text::Diagnostic> all = told.sorted();
  REQUIRE(all.size() == 1);
  CHECK(all[0].code == "missing-room");
  REQUIRE(all[0].related.size() == 1);
  CHECK(all[0].related[0].message == "`b` needs it too.");
}

TEST_CASE("needs add up, packs are whole, and what comes back counts once over batches") {
  Planned planned(layering);
  planned.add("A", 80, "2027-04-09");
  planned.add("B", 80, "2027-08-06");
  const Needs needs = total_needs(planned.plan());
  REQUIRE(needs.supplies.size() == 2);
  const SupplyNeed& dome = needs.supplies[0];
  const SupplyNeed& tie = needs.supplies[1];
  // 80 plants at 80 % start as 100: 10 domes a batch, and the batches never stand together.
  CHECK(dome.amount == 10);
  CHECK(tie.amount == 200);
  CHECK(tie.packs == 2);

  Planned together(layering);
  together.add("A", 80, "2027-04-09");
  together.add("B", 80, "2027-04-14");
  CHECK(total_needs(together.plan()).supplies[0].amount == 20);
}

namespace {
/// Of a batch that says this of the input `dip`, which looks 3000 ppm up for dogwood.
std::string problems_with_dip(const std::string& table, const std::string& word) {
  Planned book(R"(
table iba (plant -> ppm) { dogwood: 3000  olive: 4000  manzanita: 9000 }
table hours (plant -> h) { dogwood: 2 }
protocol p {
  input dip = iba(dogwood) from 0 ppm to 8000 ppm
  input soak = hours(dogwood)
  part plant
  stage s of plant { lasts soak + 1 day  loses dip }
}
)");
  book::Written written;
  written.table = table;
  written.word = word;
  written.text = table + "(" + word + ")";
  book.add("A1", 100, "2027-05-10").set.emplace("dip", written);
  std::string out = book.problems();
  if (!out.empty()) return out;
  const sheet::Sheet& sheet = book.plan().sheets.front();
  return units::format(sheet.value(sheet.layout().inputs.front(), 0), *units::find_unit("ppm"));
}
}  // namespace

TEST_CASE("a batch says an input by what a table has for a word") {
  CHECK(problems_with_dip("iba", "olive") == "4000 ppm");
  CHECK(problems_with_dip("iba", "oliv").find("unknown-name `iba` has nothing for `oliv`.") == 0);
  CHECK(problems_with_dip("iba", "oliv").find("`olive`") != std::string::npos);
  CHECK(problems_with_dip("ibu", "olive").find("looks nothing up in a table `ibu`") !=
        std::string::npos);
  CHECK(problems_with_dip("hours", "dogwood").starts_with("unit-mismatch"));
  CHECK(problems_with_dip("iba", "manzanita").starts_with("out-of-range"));
}
