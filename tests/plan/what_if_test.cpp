#include <cmath>

#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "book/site/site.hpp"
#include "plan/marks.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "plan/trials/what_if.hpp"
#include "planned.hpp"
#include "sheet/counts/prospects.hpp"
#include "sheet/sheet.hpp"

namespace budwood::plan::test {

namespace {

/// A book with two batches and two crews, and what comes of changes to it.
class Layered {
 public:
  Layered() : planned(layering) {
    book::Crew cutters;
    cutters.people = 2;
    cutters.hours = 6 * 3600.0;
    planned.site().crews["cutters"] = cutters;
    planned.add("L1", 100, "2027-06-11");
    book::Batch& second = planned.add("L2", 200, "2027-07-09");
    second.sure = book::Placed<double>{0.9, {}};
  }

  /// The book after the changes; nothing when one of them is wrong.
  const WhatIf* tried(const std::vector<std::string>& changes) {
    diagnostics = {};
    result = what_if(planned.plan(), changes, sources, diagnostics);
    return result ? &*result : nullptr;
  }

  /// "code" of each mistake, a line each.
  std::string mistakes(const std::string& change) {
    CHECK(tried({change}) == nullptr);
    std::string out;
    for (const text::Diagnostic& d : diagnostics.sorted()) {
      CHECK(d.span.source != nullptr);
      out += d.code + "\n";
    }
    return out;
  }

  std::string advice(const std::string& change) {
    CHECK(tried({change}) == nullptr);
    return diagnostics.sorted().front().advice;
  }

  double input(std::size_t batch) const {
    return result->book.batches[batch].set.at("take").quantity.base();
  }

  Planned planned;
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::optional<WhatIf> result;
};

std::string day(const std::optional<book::Placed<calendar::Day>>& date) {
  return date ? calendar::iso_date(date->value) : "";
}

}  // namespace

TEST_CASE("values of a batch are set outright or by how much they move") {
  Layered t;
  REQUIRE(t.tried({"L1.take=70 %"}));
  CHECK(t.input(0) == doctest::Approx(0.7));
  CHECK_FALSE(t.result->book.batches[1].set.contains("take"));
  REQUIRE(t.tried({"L1.take=10 % less"}));
  CHECK(t.input(0) == doctest::Approx(0.72));
  REQUIRE(t.tried({"L2.plants=25 % more"}));
  CHECK(t.result->book.batches[1].plants.value == 250);
  REQUIRE(t.tried({"L2.batch.plants=20 fewer"}));
  CHECK(t.result->book.batches[1].plants.value == 180);
  REQUIRE(t.tried({"L1.ready=1 week earlier"}));
  CHECK(day(t.result->book.batches[0].ready) == "2027-06-04");
  REQUIRE(t.tried({"L1.ready=2027-06-18"}));
  CHECK(day(t.result->book.batches[0].ready) == "2027-06-18");
  REQUIRE(t.tried({"L2.sure=usual"}));
  CHECK_FALSE(t.result->book.batches[1].sure.has_value());
}

TEST_CASE("whether trays are filled is a yes or no of the batch, or what is usual") {
  Planned plugs(R"(protocol plugs "Plugs" {
    supply tray "Tray" in trays footprint 30 cm by 50 cm
    part plant
    stage sow of plant { lasts 1 day  do "Sow" { time 1 h  use 1 tray per 72 } }
    stage grow of plant { lasts 9 days  loses 10 % }
  })");
  book::Batch& batch = plugs.add("A", 600, "2027-05-31");
  text::Sources sources;
  text::Diagnostics said;
  const auto started = [&](const std::string& change) {
    const auto tried = what_if(plugs.plan(), {"A.full_trays=" + change}, sources, said);
    REQUIRE(tried.has_value());
    CHECK(tried->changes.front().kind == Change::Kind::yes_no);
    const Plan plan = make_plan(tried->book, said);
    const sheet::Row row = plan.row_of(plan.batches.front());
    return row.value(row.cells(language::StageId(0)).plants);
  };
  CHECK(started("yes") == 720);  // 10 trays of 72
  CHECK(started("no") == 667);
  batch.full_trays = book::Placed<bool>{true, {}};
  CHECK(started("usual") == 667);
  CHECK_FALSE(what_if(plugs.plan(), {"A.full_trays=maybe"}, sources, said).has_value());
  CHECK_FALSE(what_if(plugs.plan(), {"A.full_trays=2 more"}, sources, said).has_value());
}

TEST_CASE("the list of changes tells what was and what is") {
  Layered t;
  REQUIRE(t.tried({"L1.take=10 % less", "L1.ready=1 week earlier", "L1.potting.end=free"}));
  REQUIRE(t.result->changes.size() == 2);
  const Change& take = t.result->changes[0];
  CHECK(take.batch == "L1");
  CHECK(take.name == "take");
  CHECK(take.before == doctest::Approx(0.8));
  CHECK(take.after == doctest::Approx(0.72));
  const Change& ready = t.result->changes[1];
  CHECK(ready.kind == Change::Kind::date);
  CHECK(ready.after - ready.before == -7);
  // Giving up what is not there is told.
  CHECK(t.diagnostics.count(text::Severity::warning) == 1);
}

TEST_CASE("a batch is ready by a date or started on one") {
  Layered t;
  REQUIRE(t.tried({"L1.start=2027-05-03"}));
  CHECK(day(t.result->book.batches[0].start) == "2027-05-03");
  CHECK_FALSE(t.result->book.batches[0].ready.has_value());
  CHECK(t.diagnostics.count(text::Severity::note) == 1);
}

TEST_CASE("the star is every batch that has the value; the later of two changes counts") {
  Layered t;
  REQUIRE(t.tried({"*.take=60 %", "L2.take=90 %"}));
  CHECK(t.input(0) == doctest::Approx(0.6));
  CHECK(t.input(1) == doctest::Approx(0.9));
  CHECK(t.diagnostics.empty());
  REQUIRE(t.result->changes.size() == 2);  // the one of L2 that does not count is not told
  CHECK(t.result->changes[0].batch == "L1");
  CHECK(t.result->changes[0].after == doctest::Approx(0.6));
  CHECK(t.result->changes[1].batch == "L2");
  CHECK(t.result->changes[1].after == doctest::Approx(0.9));
  REQUIRE(t.tried({"L1.take=60 %", "L1.take=90 %"}));
  CHECK(t.input(0) == doctest::Approx(0.9));
  CHECK(t.result->changes.size() == 1);
  CHECK(t.diagnostics.count(text::Severity::warning) == 1);
  REQUIRE(t.tried({"site.closed=2027-05-20", "site.closed=2027-05-24"}));
  CHECK(t.result->changes.size() == 2);
}

TEST_CASE("dates of stages are fixed, counts recorded") {
  Layered t;
  REQUIRE(t.tried({"L1.rooting.start=2 days earlier", "L1.rooting.left=90"}));
  const book::Batch& batch = t.result->book.batches[0];
  REQUIRE(batch.pins.size() == 1);
  CHECK(batch.pins[0].stage == "rooting");
  CHECK_FALSE(batch.pins[0].recorded);
  REQUIRE(batch.counted.size() == 1);
  CHECK(batch.counted[0].plants == 90);
}

TEST_CASE("the site loses people, hours and days") {
  Layered t;
  REQUIRE(t.tried({"site.cutters.people=1 fewer", "site.cutters.hours=90 min less",
                   "site.closed=2027-06-01 to 2027-06-03", "site.layering.take=90 %"}));
  const book::Site& site = t.result->book.site;
  CHECK(site.crews.at("cutters").people == 1);
  CHECK(site.crews.at("cutters").hours == 4.5 * 3600);
  for (const char* date : {"2027-06-01", "2027-06-02", "2027-06-03"}) {
    CHECK_FALSE(site.working.works(*calendar::parse_iso_date(date)));
  }
  CHECK(site.working.works(*calendar::parse_iso_date("2027-06-04")));
  CHECK(site.inputs.at("layering").at("take").quantity.base() == doctest::Approx(0.9));
  CHECK(t.planned.site().crews.at("cutters").people == 2);
}

TEST_CASE("what is worked out is not set; what it rests on is named") {
  Layered t;
  CHECK(t.mistakes("L1.wound.plants=3") == "worked-out\n");
  const std::string plants = t.advice("L1.wound.plants=3");
  CHECK(plants.find("`plants`") != std::string::npos);
  CHECK(plants.find("`take`") != std::string::npos);
  const std::string days = t.advice("L1.rooting.days=3");
  CHECK(days.find("`rooting.end`") != std::string::npos);
  CHECK(days.find("`ready`") != std::string::npos);
}

TEST_CASE("mistakes are named at the change") {
  Layered t;
  const std::pair<std::string, std::string> wrong[] = {
      {"", "bad-change\n"},
      {"=", "bad-change\n"},
      {"a=b", "bad-change\n"},
      {"*.=", "bad-change\n"},
      {"L1.take=", "bad-change\n"},
      {"L3.take=70 %", "unknown-name\n"},
      {"L1.tkae=70 %", "unknown-name\n"},
      {"*.nothing=1", "unknown-name\n"},
      {"L1.take=20 %", "out-of-range\n"},
      {"L1.take=50 % less", "out-of-range\n"},
      {"L1.take=3 kg", "unit-mismatch\n"},
      {"L1.take=3 kg more", "unit-mismatch\n"},
      {"L1.take=nan", "wrong-value\n"},
      {"L1.take=inf", "wrong-value\n"},
      {"L1.take=1 week earlier", "wrong-value\n"},
      {"L1.take=more", "wrong-value\n"},
      {"L1.ready=10 % more", "wrong-value\n"},
      {"L1.ready=1 h later", "wrong-value\n"},
      {"L1.ready=-1 week earlier", "wrong-value\n"},
      {"L1.ready=9999-12-31", "no-such-date\n"},
      {"L1.ready=80000 days later", "no-such-date\n"},
      {"L1.ready=free", "wrong-value\n"},
      {"L1.plants=0", "out-of-range\n"},
      {"L1.plants=1.5", "wrong-value\n"},
      {"L1.plants=" + std::string(100, '9'), "out-of-range\n"},
      {"L1.sure=1 % more", "wrong-value\n"},
      {"L1.rooting.left=-1", "out-of-range\n"},
      {"site.cutters.people=2 fewer", "out-of-range\n"},
      {"site.cutters.cost=3", "unknown-name\n"},
      {"site.layering.tkae=3", "unknown-name\n"},
      {"site.closed=2027-06-04 to 2027-06-03", "out-of-range\n"},
      {"L1.take=" + std::string(100'000, '7'), "long-text\n"},
      {"L1.take=70\n%", "odd-character\n"},
      {"L1.take=\x01", "odd-character\n"},
  };
  for (const auto& [change, codes] : wrong) {
    CAPTURE(change.substr(0, 60));
    CHECK(t.mistakes(change) == codes);
  }
}

TEST_CASE("a pin that cannot be kept leaves the other batches as they are") {
  Layered t;
  const Plan before = t.planned.plan();
  REQUIRE(t.tried({"L1.potting.end=2027-12-01"}));
  text::Diagnostics found;
  const Plan after = make_plan(t.result->book, found);
  REQUIRE(after.conflicts.size() == 1);
  CHECK(after.conflicts[0].batch == "L1");
  const auto days = [](const Plan& plan) {
    std::vector<std::string> out;
    for (const WorkOrder& order : plan.orders) {
      if (order.batch == 1) out.push_back(order_id(plan, order) + calendar::iso_date(order.date));
    }
    return out;
  };
  CHECK(days(after) == days(before));
  CHECK_FALSE(days(after).empty());
}

TEST_CASE("counted plants that are too few are a conflict with numbers") {
  Planned planned(layering);
  planned.add("L1", 100, "2027-06-11").counted.push_back({"wound", 110, {}});
  // 110 of which 80 % take are 88.
  const Plan& plan = planned.plan();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts[0].code == "too-few");
  CHECK(plan.conflicts[0].message ==
        "110 plants came through `wound`, so 88 plants are expected after `potting`, and the order "
        "wants 100 plants.");
  CHECK(texts_of(plan.conflicts[0].repairs) ==
        std::vector<std::string>{"Promise 88 plants.",
                                 "Raise what is missing in a make-up batch: `budwood propose BOOK "
                                 "--make-up L1` says when it would be ready."});
  const auto chances = sheet::prospects(plan.row_of(plan.batches[0]));
  REQUIRE(chances.has_value());
  CHECK(chances->expected == doctest::Approx(88));
}

TEST_CASE("plants counted at the end are certain") {
  Planned planned(layering);
  planned.add("L1", 100, "2027-06-11").counted.push_back({"potting", 104, {}});
  const Plan& plan = planned.plan();
  CHECK(plan.conflicts.empty());
  const auto chances = sheet::prospects(plan.row_of(plan.batches[0]));
  REQUIRE(chances.has_value());
  CHECK(chances->expected == 104);
  CHECK(chances->low == 104);
  CHECK(chances->chance == 1);
}

TEST_CASE("values know whether they were recorded, fixed, set or worked out") {
  Planned planned(layering);
  planned.site().inputs["layering"]["take"] =
      book::Written{{}, "75 %", *units::parse_quantity("75 %"), true, 0, 0};
  book::Batch& batch = planned.add("L1", 100, "2027-06-11");
  const calendar::Day seen = *calendar::parse_iso_date("2027-05-20");
  batch.pins.push_back({"wound", book::Pin::Side::start, seen, {}, true});
  batch.pins.push_back({"potting", book::Pin::Side::start, seen + 22, {}, false});
  batch.counted.push_back({"wound", 140, {}});
  planned.add("L2", 100, "2027-06-18").set["take"] =
      book::Written{{}, "70 %", *units::parse_quantity("70 %"), true, 0, 0};
  const Plan& plan = planned.plan();
  const sheet::Sheet& sheet = plan.sheets[0];
  const auto mark = [&](const char* cell, std::size_t row) {
    return mark_of({sheet, row}, sheet.layout().find(cell));
  };
  CHECK(mark("wound.start", 0) == Mark::recorded);
  CHECK(mark("wound.left", 0) == Mark::recorded);
  CHECK(mark("potting.start", 0) == Mark::pinned);
  CHECK(mark("potting.end", 0) == Mark::none);
  CHECK(mark("take", 0) == Mark::site);
  CHECK(mark("take", 1) == Mark::batch);
  CHECK(mark("wound.start", 1) == Mark::none);
  CHECK(mark("wound.plants", 0) == Mark::none);
  CHECK(mark("batch.plants", 0) == Mark::batch);
  CHECK(mark("batch.ready", 0) == Mark::batch);
}

}  // namespace budwood::plan::test
